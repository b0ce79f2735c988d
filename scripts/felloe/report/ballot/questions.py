"""The open questions in words: what is known of each, and what can be chosen at which price."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from felloe.ground.files.numbers import ABSENT, MINUS
from felloe.ground.files.tables import Row
from felloe.report.ballot.sources import TIERS, Sources
from felloe.report.chart import chart_terms
from felloe.report.languages.language_words import Words
from felloe.tiers.tables import PRICE_WORDS
from felloe.validation.ballot_form import (
    BESIDE,
    DROP,
    KEEP,
    OPEN,
    OTHER,
    PROPOSED,
    STAY,
    WITHIN,
    successors,
)

OF_TERM = ("term", "sensitive")
SHOWN = 5  # moves that are seen at once
NEAREST = 3  # terms named as the nearest
SEEN = 5e-5  # a change that is less does not show in four decimals
VISIBLE = 1e-3  # the report prints these correlations and silhouettes with three decimals
JUDGED = ("cophenetic", "silhouette_class", "silhouette_subclass")  # 1 at most
BETTER = {"cophenetic": 1, "silhouette_class": 1, "silhouette_subclass": 1, "ring": -1}
MOST_SUCCESSORS = 12


@dataclass(frozen=True)
class Option:
    """
    What can be chosen.

    Attributes
    ----------
    code, term : str
        As in the spreadsheet: the term is the one to stand beside, or that a name hangs on.
    title : str
    costs : tuple of str
        A sentence each.
    group : str
        Published subclass that is joined; empty for all but moves.
    place : str
        Where a move leads.
    prices : tuple of float
        Of a move: share of people, of redraws there and of redraws in its own class, changes.
    unkept : str
        Why nothing is written for it, a text of the page; empty where something is.
    """

    code: str
    term: str
    title: str
    costs: tuple[str, ...] = ()
    group: str = ""
    place: str = ""
    prices: tuple[float, ...] = ()
    unkept: str = ""

    @property
    def value(self) -> str:
        """The choice on the page."""
        return f"{self.code} {self.group or self.term}".strip()


@dataclass(frozen=True)
class Question:
    """
    A question.

    Attributes
    ----------
    number : int
    kind, tier, subject : str
        As in `questions.csv`.
    title : str
    evidence : tuple of str
        A sentence each.
    options : tuple of Option
        The moves the nearest first, `open` last.
    proposal : str
        The name that is proposed.
    anchor : str
        The term that a name would hang on.
    alone : bool
        Whether a group to be named has one term.
    stands_in : dict of str to list of str
        What names could hang on instead if the term moved, by tier.
    ends_by : tuple of int
        Questions about the words of a class: it ends where all of them move.
    """

    number: int
    kind: str
    tier: str
    subject: str
    title: str
    evidence: tuple[str, ...]
    options: tuple[Option, ...]
    proposal: str = ""
    anchor: str = ""
    alone: bool = False
    stands_in: Mapping[str, list[str]] | None = None
    ends_by: tuple[int, ...] = ()

    @property
    def needless(self) -> bool:
        """Whether it asks for the name of a group of one word, which needs none."""
        return self.kind == "name" and self.alone

    @property
    def key(self) -> str:
        """What a draft knows the question by."""
        return f"{self.kind}:{self.tier}:{self.subject}"

    @property
    def first(self) -> tuple[Option, ...]:
        """The options that are seen at once."""
        return tuple(one for one in self.options if one not in self.further)

    @property
    def further(self) -> tuple[Option, ...]:
        """Moves beyond the nearest."""
        return tuple(one for one in self.options if one.group)[SHOWN:]

    @property
    def successors(self) -> str:
        """What names could hang on instead, as a cell."""
        return successors(dict(self.stands_in or {}))


class Asking:
    """
    Puts questions in the words of a language.

    Parameters
    ----------
    sources : Sources
    words : Words
    """

    def __init__(self, sources: Sources, words: Words) -> None:
        self.sources, self.words = sources, words
        self.moves: dict[str, list[Row]] = {}
        for row in sources.moves:
            self.moves.setdefault(row["term"], []).append(row)
        limits = sources.chart["limits"]
        self.limits = {
            "firm": self.hundred(limits["firm_probability"]),
            "undecided": self.hundred(limits["undecided_probability"]),
            "enough": self.hundred(sources.enough),
        }
        self.nearest = {
            term["id"]: term["nearest"] for _, _, term in chart_terms(sources.chart, True)
        }

    def say(self, key: str, **values: object) -> str:
        """Return a sentence of the ballot."""
        return self.words.fill(f"ballot.{key}", **values)

    def questions(self) -> list[Question]:
        """Return all questions in their order."""
        ask = {"class": self.of_class, "void": self.of_void, "name": self.of_name}
        return [ask.get(row["kind"], self.of_term)(row) for row in self.sources.questions]

    def reasons(self, row: Row) -> Iterator[str]:
        """Yield why something is asked."""
        for code in row["reason"].split(";"):
            if code and code != "lone_term":
                yield self.say(f"reason_{code}", **self.limits)

    def hundred(self, share: float) -> str:
        """Return how many of 100 a share is; what is less than 1 or more than 99 is called so."""
        if 0 < share < 0.01:
            return self.say("fewer_than_one")
        return self.say("more_than_99") if 0.99 < share < 1 else str(round(100 * share))

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

    def of_term(self, row: Row) -> Question:
        """Ask where a term belongs."""
        term = row["subject"]
        place = self.sources.place[term]
        title = self.say(f"kind_{row['kind']}", subject=self.label(term))
        evidence = (*self.reasons(row), *self.evidence(term, place))
        moves = sorted(self.moves.get(term, []), key=lambda one: one["rank"])
        options = (
            self.stay(term, place),
            *(self.move(place, one) for one in moves),
            Option(OPEN, "", self.say("open")),
        )
        stands_in = {
            tier: [one for one in self.sources.members[tier, place[tier]] if one != term]
            for tier in TIERS
        }
        kept = {tier: terms[:MOST_SUCCESSORS] for tier, terms in stands_in.items()}
        return Question(
            row["number"], row["kind"], "term", term, title, evidence, options, stands_in=kept
        )

    def evidence(self, term: str, place: Row) -> Iterator[str]:
        """Yield what is known of a term's place."""
        yield self.say("stands", own=self.where(place["class"], place["subclass"]))
        other = self.called("class", place["rival_class"]) if place["rival_class"] else ""
        home = self.hundred(place["home_probability"])
        if other:
            rival = self.hundred(place["rival_probability"])
            yield self.say("redraws", home=home, rival=rival, other=other)
        else:
            yield self.say("redraws_alone", home=home)
        found = [
            self.say(
                "of_people",
                word=self.label(one["term"]),
                number=self.hundred(one["share_together"]),
            )
            for one in self.nearest[term][:NEAREST]
        ]
        yield self.say("nearest", words=", ".join(found))
        yield from self.leanings(term, place, other)
        held = self.sources.held.get(term)
        if held is not None and held["share_of_universes"] == held["share_of_universes"]:
            kept = round(held["share_of_universes"] * held["n_universes"])
            yield self.say("analyses", all=held["n_universes"], held=kept)
        yield from self.support(place["class"])

    def leanings(self, term: str, place: Row, other: str) -> Iterator[str]:
        """Yield what each population alone makes of a term."""
        for population, name in self.sources.populations.items():
            if population not in self.sources.counts:
                continue
            home = self.sources.leaning(population, term, place["class"])
            if home != home:
                continue
            if not other:
                yield self.say("leaning_alone", population=name, home=self.hundred(home))
                continue
            rival = self.sources.leaning(population, term, place["rival_class"])
            shares = {"home": self.hundred(home), "rival": self.hundred(rival)}
            yield self.say("leaning", population=name, other=other, **shares)

    def support(self, own: str) -> Iterator[str]:
        """Yield how well a published class is found again, where that is known."""
        row = self.sources.supports.get(own)
        members = self.sources.members["class", own]
        if row is None or len(members) == 1 or row["jaccard"] != row["jaccard"]:
            return
        whole = set(row["members"]) == set(members)
        number = self.words.number(row["jaccard"], "decimal2")
        yield self.say("class_support" if whole else "class_support_data", number=number)

    def stay(self, term: str, place: Row) -> Option:
        """Return the choice of leaving a term where it is."""
        title = self.say("stay", own=self.where(place["class"], place["subclass"]))
        others = [one for one in self.sources.members["subclass", place["subclass"]] if one != term]
        steady = [one for one in others if self.sources.place[one]["status"] != "moved"] or others
        if not steady:
            return Option(STAY, "", title, (self.say("stay_alone"),), unkept="alone")
        shares = self.sources.similarity(term, steady)
        beside = steady[int(shares.argmax())]
        return Option(STAY, beside, title, (self.say("stay_how", beside=self.label(beside)),))

    def move(self, place: Row, row: Row) -> Option:
        """Return the choice of moving a term, with what it costs."""
        code = WITHIN if row["class"] == place["class"] else BESIDE
        own = self.where(row["class"], row["subclass"])
        title = self.say("move", own=own, beside=self.label(row["beside"]))
        together = self.hundred(row["similarity"])
        then, now = self.hundred(row["home_probability"]), self.hundred(row["home_probability_now"])
        costs = [self.say("together", number=together)]
        if code == BESIDE:
            costs.append(self.say("home_then", then=then, now=now))
        costs += self.changes(row)
        shares = (row["similarity"], row["home_probability"], row["home_probability_now"])
        prices = (*shares, *(row[f"{measure}_change"] for measure in PRICE_WORDS))
        return Option(code, row["beside"], title, tuple(costs), row["subclass"], own, prices)

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
            yield self.say(f"cost_{measure}.{which}", number=self.signed(change))

    def signed(self, change: float) -> str:
        """Return a change with its sign and four decimals."""
        if change != change or abs(change) < SEEN:
            return "0" if change == change else ABSENT
        sign = "+" if change > 0 else MINUS
        return sign + self.words["numbers.decimal_sign"].join(f"{abs(change):.4f}".split("."))

    def of_class(self, row: Row) -> Question:
        """Ask whether a weak class stands."""
        own = row["subject"]
        members = self.sources.members["class", own]
        asked = {
            one["subject"]: one["number"]
            for one in self.sources.questions
            if one["kind"] in OF_TERM
        }
        evidence = [*self.reasons(row), self.say("class_members", words=self.listed(members))]
        evidence += self.support(own)
        numbers = tuple(sorted(asked[one] for one in members if one in asked))
        if len(numbers) < len(members):
            evidence.append(self.say("class_not_asked"))
        if len(members) > 1:  # to join a class of one word is to move its word
            evidence += self.settings(own)
        keep = self.say("keep_class"), (self.say("keep_class_how"),)
        options = (
            Option(KEEP, "", *keep, unkept="class"), Option(OPEN, "", self.say("open"))
        )  # fmt: skip
        title = self.say("kind_class", subject=self.called("class", own))
        return Question(
            row["number"], "class", "class", own, title, tuple(evidence), options, ends_by=numbers
        )

    def settings(self, own: str) -> Iterator[str]:
        """Yield what merging or splitting a class would cost, which are settings."""
        for row in self.sources.regroupings:
            if row["kind"] not in ("merge", "split") or own not in (row["class"], row["other"]):
                continue
            other = row["other"] if row["class"] == own else row["class"]
            named = self.called("class", other) if other else ""
            setting = row["setting"]
            if setting:
                setting = self.say("by_setting", setting=setting)
            key = f"setting_{row['kind']}"
            costs = " ".join(self.changes(row))
            yield self.say(key, other=named, how=setting or self.say("no_setting"), costs=costs)

    def of_void(self, row: Row) -> Question:
        """Ask whether a decision that came to nothing is still wanted."""
        term = row["subject"]
        decided = next(
            one for one in self.sources.replayed if one["term"] == term and one["status"] == "void"
        )
        evidence = [
            self.say(
                "void_row",
                day=decided["decided_on"],
                term=self.label(term),
                beside=self.label(decided["beside"]),
                reason=decided["reason"],
            )
        ]
        if decided["decided_by"]:
            evidence.append(self.say("void_by", role=decided["decided_by"]))
        evidence += self.reasons(row)
        options = (
            Option(
                KEEP, decided["beside"], self.say("keep_void"), (self.say("keep_void_how"),),
                unkept="void",
            ),
            Option(DROP, decided["beside"], self.say("drop_void")),
            Option(OPEN, "", self.say("open")),
        )  # fmt: skip
        title = self.say("kind_void", subject=self.label(term))
        return Question(row["number"], "void", "term", term, title, tuple(evidence), options)

    def of_name(self, row: Row) -> Question:
        """Ask what a group is called."""
        tier, own = row["tier"], row["subject"]
        group, members = self.sources.group[tier, own], self.sources.members[tier, own]
        evidence = [*self.reasons(row), self.say("name_members", words=self.listed(members))]
        alone = len(members) == 1
        proposal = self.say("name_proposal", name=group["name"])
        evidence.append(self.say("name_lone") if alone else proposal)
        if tier == "subclass":
            evidence.append(self.say("stands", own=self.called("class", row["class"])))
        options = (
            Option(PROPOSED, group["anchor"], self.say("keep_name", name=group["name"])),
            Option(OTHER, group["anchor"], self.say("other_name")),
            Option(OPEN, "", self.say("open")),
        )
        title = self.say(f"kind_name_{tier}", subject=self.listed(members[:NEAREST]))
        return Question(
            row["number"], "name", tier, own, title, tuple(evidence), options,
            proposal=str(group["name"]), anchor=group["anchor"], alone=alone,
        )  # fmt: skip
