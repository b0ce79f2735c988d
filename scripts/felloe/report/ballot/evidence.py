"""What is known of a question: why it is asked, and what the sorts say."""

from collections.abc import Iterator, Sequence

import numpy as np

from felloe.ground.files.tables import Row
from felloe.report.ballot.sources import Sources
from felloe.report.ballot.wording import Wording
from felloe.report.chart import chart_terms

NEAREST = 3  # terms named as the nearest
FEW = 10  # people who saw a pair, under which a share is told with their number
MOST_WORDS = 8  # of people's own words for a group


class Evidence:
    """
    Tells what is known of terms and classes, a sentence each.

    Parameters
    ----------
    sources : Sources
    words : Wording
    """

    def __init__(self, sources: Sources, words: Wording) -> None:
        self.sources, self.words = sources, words
        limits = sources.chart["limits"]
        self.limits = {
            "firm": words.hundred(limits["firm_probability"]),
            "undecided": words.hundred(limits["undecided_probability"]),
            "enough": words.hundred(sources.enough),
        }
        self.nearest = {
            term["id"]: term["nearest"] for _, _, term in chart_terms(sources.chart, True)
        }

    def reasons(self, row: Row) -> Iterator[str]:
        """Yield why something is asked."""
        for code in row["reason"].split(";"):
            if code and code != "lone_term":
                yield self.words.say(f"reason_{code}", **self.limits)

    def of_place(self, term: str, place: Row) -> Iterator[str]:
        """Yield what is known of a term's place."""
        yield self.words.say("stands", own=self.words.where(place["class"], place["subclass"]))
        other = self.words.called("class", place["rival_class"]) if place["rival_class"] else ""
        home = self.words.hundred(place["home_probability"])
        if other:
            rival = self.words.hundred(place["rival_probability"])
            yield self.words.say("redraws", home=home, rival=rival, other=other)
        else:
            yield self.words.say("redraws_alone", home=home)
        found = [
            self.words.say(
                "of_people",
                word=self.words.label(one["term"]),
                number=self.words.hundred(one["share_together"]),
            )
            for one in self.nearest[term][:NEAREST]
        ]
        yield self.words.say("nearest", words=", ".join(found))
        yield from self.leanings(term, place, other)
        held = self.sources.held.get(term)
        if held is not None and held["share_of_universes"] == held["share_of_universes"]:
            kept = round(held["share_of_universes"] * held["n_universes"])
            yield self.words.say("analyses", all=held["n_universes"], held=kept)
        yield from self.support(place["class"])

    def leanings(self, term: str, place: Row, other: str) -> Iterator[str]:
        """Yield what each population alone makes of a term."""
        for population, name in self.sources.populations.items():
            if population not in self.sources.counts:
                continue
            home = self.sources.leaning(population, term, place["class"])
            if home != home:
                continue
            groups = [place["class"], *([place["rival_class"]] if other else [])]
            told = {"population": self.who(population, name, term, groups)}
            told["home"] = self.words.hundred(home)
            rival = self.sources.leaning(population, term, groups[1]) if other else float("nan")
            if rival != rival:
                yield self.words.say("leaning_alone", **told)
            else:
                yield self.words.say(
                    "leaning", other=other, rival=self.words.hundred(rival), **told
                )

    def who(self, population: str, name: str, term: str, groups: Sequence[str]) -> str:
        """Return what a population is called, with how many of it saw a pair if these are few."""
        if not self.sources.in_parts:
            return name
        both = [self.sources.counted(population, term, group)[1] for group in groups]
        seen = np.concatenate(both)
        least, most = int(seen.min()), int(seen.max())
        if least >= FEW:
            return name
        number = str(least) if least == most else f"{least}\u2013{most}"
        return self.words.say("few_saw", population=name, number=number)

    def support(self, own: str) -> Iterator[str]:
        """Yield how well a published class is found again, where that is known."""
        row = self.sources.supports.get(own)
        members = self.sources.members["class", own]
        if row is None or len(members) == 1 or row["jaccard"] != row["jaccard"]:
            return
        whole = set(row["members"]) == set(members)
        number = self.words.number(row["jaccard"], "decimal2")
        yield self.words.say("class_support" if whole else "class_support_data", number=number)

    def candidates(self, tier: str, own: str) -> list[Row]:
        """Return the words that most people used for a group, these first."""
        rows = self.sources.word_candidates
        return [row for row in rows if (row["tier"], row["group"]) == (tier, own)][:MOST_WORDS]

    def peoples_words(self, candidates: Sequence[Row]) -> Iterator[str]:
        """Yield what several people called such piles, if they had a word for them."""
        found = [
            self.words.say(
                "peoples_word",
                word=row["word"],
                people=row["people"],
                overlap=self.words.number(row["jaccard"], "decimal2"),
            )
            for row in candidates
        ]
        if found:
            yield self.words.say("peoples_words", words="; ".join(found))

    def settings(self, own: str) -> Iterator[str]:
        """Yield what merging or splitting a class would cost, which are settings."""
        for row in self.sources.regroupings:
            if row["kind"] not in ("merge", "split") or own not in (row["class"], row["other"]):
                continue
            other = row["other"] if row["class"] == own else row["class"]
            named = self.words.called("class", other) if other else ""
            setting = row["setting"]
            if setting:
                setting = self.words.say("by_setting", setting=setting)
            key = f"setting_{row['kind']}"
            costs = " ".join(self.words.changes(row))
            yield self.words.say(
                key, other=named, how=setting or self.words.say("no_setting"), costs=costs
            )
