"""What can be chosen for a term, with what it costs."""

from collections.abc import Iterator

from felloe.ground.files.tables import Row
from felloe.report.ballot.questions import Option
from felloe.report.ballot.sources import Sources
from felloe.report.ballot.wording import Wording
from felloe.tiers.tables import PRICE_WORDS
from felloe.validation.ballot_form import BESIDE, STAY, WITHIN


class Options:
    """
    Offers where a term can go.

    Parameters
    ----------
    sources : Sources
    words : Wording
    """

    def __init__(self, sources: Sources, words: Wording) -> None:
        self.sources, self.words = sources, words
        self.moves: dict[str, list[Row]] = {}
        for row in sources.moves:
            self.moves.setdefault(row["term"], []).append(row)

    def of_term(self, term: str, place: Row) -> Iterator[Option]:
        """Yield the choices of leaving a term where it is and of each move, the nearest first."""
        yield self.stay(term, place)
        for row in sorted(self.moves.get(term, []), key=lambda one: one["rank"]):
            yield self.move(place, row)

    def stay(self, term: str, place: Row) -> Option:
        """Return the choice of leaving a term where it is."""
        title = self.words.say("stay", own=self.words.where(place["class"], place["subclass"]))
        others = [one for one in self.sources.members["subclass", place["subclass"]] if one != term]
        steady = [one for one in others if self.sources.place[one]["status"] != "moved"] or others
        if not steady:
            return Option(STAY, "", title, (self.words.say("stay_alone"),), unkept="alone")
        shares = self.sources.similarity(term, steady)
        beside = steady[int(shares.argmax())]
        return Option(
            STAY, beside, title, (self.words.say("stay_how", beside=self.words.label(beside)),)
        )

    def move(self, place: Row, row: Row) -> Option:
        """Return the choice of moving a term, with what it costs."""
        code = WITHIN if row["class"] == place["class"] else BESIDE
        own = self.words.where(row["class"], row["subclass"])
        title = self.words.say("move", own=own, beside=self.words.label(row["beside"]))
        together = self.words.hundred(row["similarity"])
        then = self.words.hundred(row["home_probability"])
        now = self.words.hundred(row["home_probability_now"])
        costs = [self.words.say("together", number=together)]
        if code == BESIDE:
            costs.append(self.words.say("home_then", then=then, now=now))
        costs += self.words.changes(row)
        shares = (row["similarity"], row["home_probability"], row["home_probability_now"])
        return Option(
            code, row["beside"], title, tuple(costs), row["subclass"], own, shares,
            changes=tuple(row[f"{measure}_change"] for measure in PRICE_WORDS),
        )  # fmt: skip
