"""How the ballot calls numbers, places, terms and what a move changes."""

from collections.abc import Iterator

from felloe.ground.files.tables import Row
from felloe.report.ballot.sources import Sources
from felloe.report.languages.language_words import Words
from felloe.tiers.tables import BETTER, PRICE_WORDS, SEEN

VISIBLE = 1e-3  # the report prints these correlations and silhouettes with three decimals
JUDGED = ("cophenetic", "silhouette_class", "silhouette_subclass")  # 1 at most


class Wording:
    """
    Says in the words of a language what stands in tables.

    Parameters
    ----------
    sources : Sources
    words : Words
    """

    def __init__(self, sources: Sources, words: Words) -> None:
        self.sources, self.words = sources, words

    def say(self, key: str, **values: object) -> str:
        """Return a sentence of the ballot."""
        return self.words.fill(f"ballot.{key}", **values)

    def hundred(self, share: float) -> str:
        """Return how many of 100 a share is; what is less than 1 or more than 99 is called so."""
        if 0 < share < 0.01:
            return self.say("fewer_than_one")
        return self.say("more_than_99") if 0.99 < share < 1 else str(round(100 * share))

    def number(self, value: float, style: str) -> str:
        """Return a number as readers see it."""
        return self.words.number(value, style)

    def called(self, tier: str, own: str) -> str:
        """Return the name of a published group."""
        found = self.sources.group.get((tier, own))
        return own if found is None else str(found["name"])

    def where(self, of_class: str, subclass: str) -> str:
        """Return a place on the chart in words."""
        names = (self.called("class", of_class), self.called("subclass", subclass))
        return names[0] if names[0] == names[1] else " › ".join(names)

    def label(self, term: str) -> str:
        """Return the wording of a term."""
        return self.sources.label.get(term, term)

    def listed(self, terms: list[str]) -> str:
        """Return terms in words."""
        return ", ".join(self.label(term) for term in terms)

    def in_parts(self) -> list[str]:
        """Return on top of a ballot what numbers of sorts in parts rest on; else nothing."""
        if not self.sources.in_parts:
            return []
        names = self.sources.populations
        told = {names[one]: self.sources.observers(one) for one in self.sources.counts}
        seen = [
            self.say(
                "seen_by",
                population=name,
                number=self.number(median, "count" if median == int(median) else "decimal1"),
            )
            for name, median in told.items()
        ]
        return [self.say("in_parts", seen=", ".join(seen))]

    def changes(self, row: Row) -> Iterator[str]:
        """Yield how well the chart would fit, measure by measure."""
        for measure in PRICE_WORDS:
            change = row[f"{measure}_change"]
            if change != change:
                continue
            if abs(change) < SEEN:
                yield self.say(f"cost_{measure}.same")
                continue
            which = "better" if change * BETTER[measure] > 0 else "worse"
            if measure in JUDGED and abs(change) < VISIBLE:
                which = "unseen"
            sign = "+" if change > 0 else ""
            number = sign + self.words.number(change, "decimal4")
            yield self.say(f"cost_{measure}.{which}", number=number)
