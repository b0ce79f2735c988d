"""The open questions in words: what is known of each, and what can be chosen at which price."""

from felloe.ground.files.tables import Row
from felloe.report.ballot.evidence import NEAREST, Evidence
from felloe.report.ballot.options import Options
from felloe.report.ballot.questions import Option, Question
from felloe.report.ballot.sources import TIERS, Sources
from felloe.report.ballot.wording import Wording
from felloe.report.languages.language_words import Words
from felloe.validation.ballot_form import DROP, KEEP, OPEN, OTHER, PROPOSED

OF_TERM = ("term", "sensitive")


class Asking:
    """
    Puts questions in the words of a language.

    Parameters
    ----------
    sources : Sources
    words : Words
    """

    def __init__(self, sources: Sources, words: Words) -> None:
        self.sources, self.words = sources, Wording(sources, words)
        self.evidence = Evidence(sources, self.words)
        self.options = Options(sources, self.words)
        self.left_open = Option(OPEN, "", self.words.say("open"))

    def questions(self) -> list[Question]:
        """Return all questions in their order."""
        ask = {"class": self.of_class, "void": self.of_void, "name": self.of_name}
        return [ask.get(row["kind"], self.of_term)(row) for row in self.sources.questions]

    def of_term(self, row: Row) -> Question:
        """Ask where a term belongs."""
        term = row["subject"]
        place = self.sources.place[term]
        title = self.words.say(f"kind_{row['kind']}", subject=self.words.label(term))
        evidence = (*self.evidence.reasons(row), *self.evidence.of_place(term, place))
        options = (*self.options.of_term(term, place), self.left_open)
        stands_in = {
            tier: [one for one in self.sources.members[tier, place[tier]] if one != term]
            for tier in TIERS
        }
        return Question(
            row["number"], row["kind"], "term", term, title, evidence, options, stands_in=stands_in
        )

    def of_class(self, row: Row) -> Question:
        """Ask whether a weak class stands."""
        own = row["subject"]
        members = self.sources.members["class", own]
        asked = {
            one["subject"]: one["number"]
            for one in self.sources.questions
            if one["kind"] in OF_TERM
        }
        evidence = [
            *self.evidence.reasons(row),
            self.words.say("class_members", words=self.words.listed(members)),
        ]
        evidence += self.evidence.support(own)
        numbers = tuple(sorted(asked[one] for one in members if one in asked))
        if len(numbers) < len(members):
            evidence.append(self.words.say("class_not_asked"))
        if len(members) > 1:  # to join a class of one word is to move its word
            evidence += self.evidence.settings(own)
        keep = self.words.say("keep_class"), (self.words.say("keep_class_how"),)
        options = (
            Option(KEEP, "", *keep, unkept="class"), self.left_open
        )  # fmt: skip
        title = self.words.say("kind_class", subject=self.words.called("class", own))
        return Question(
            row["number"], "class", "class", own, title, tuple(evidence), options, ends_by=numbers
        )

    def of_void(self, row: Row) -> Question:
        """Ask whether a decision that came to nothing is still wanted."""
        term = row["subject"]
        decided = next(
            one for one in self.sources.replayed if one["term"] == term and one["status"] == "void"
        )
        evidence = [
            self.words.say(
                "void_row",
                day=decided["decided_on"],
                term=self.words.label(term),
                beside=self.words.label(decided["beside"]),
                reason=decided["reason"],
            )
        ]
        if decided["decided_by"]:
            evidence.append(self.words.say("void_by", role=decided["decided_by"]))
        evidence += self.evidence.reasons(row)
        options = (
            Option(
                KEEP, decided["beside"], self.words.say("keep_void"),
                (self.words.say("keep_void_how"),), unkept="void",
            ),
            Option(DROP, decided["beside"], self.words.say("drop_void")),
            self.left_open,
        )  # fmt: skip
        title = self.words.say("kind_void", subject=self.words.label(term))
        return Question(row["number"], "void", "term", term, title, tuple(evidence), options)

    def of_name(self, row: Row) -> Question:
        """Ask what a group is called."""
        tier, own = row["tier"], row["subject"]
        group, members = self.sources.group[tier, own], self.sources.members[tier, own]
        evidence = [
            *self.evidence.reasons(row),
            self.words.say("name_members", words=self.words.listed(members)),
        ]
        alone = len(members) == 1
        proposal = self.words.say("name_proposal", name=group["name"])
        evidence.append(self.words.say("name_lone") if alone else proposal)
        candidates = self.evidence.candidates(tier, own)
        evidence += self.evidence.peoples_words(candidates)
        if tier == "subclass":
            evidence.append(self.words.say("stands", own=self.words.called("class", row["class"])))
        options = (
            Option(PROPOSED, group["anchor"], self.words.say("keep_name", name=group["name"])),
            Option(OTHER, group["anchor"], self.words.say("other_name")),
            self.left_open,
        )
        title = self.words.say(f"kind_name_{tier}", subject=self.words.listed(members[:NEAREST]))
        return Question(
            row["number"], "name", tier, own, title, tuple(evidence), options,
            proposal=str(group["name"]), anchor=group["anchor"], alone=alone,
            called=tuple(str(row["word"]) for row in candidates),
        )  # fmt: skip
