"""The rows of the ballot as a spreadsheet: what stands in each, and what can be chosen."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.ground.files.tables import Row
from felloe.report.ballot.questions import Option, Question
from felloe.report.ballot.sources import Sources
from felloe.report.languages.language_words import Words
from felloe.report.spreadsheets import CELL_LIMIT
from felloe.validation.ballot_form import (
    ANSWERED,
    BESIDE,
    OPEN,
    OTHER,
    SAID,
    STAY,
    WITHIN,
    Origin,
    choice_text,
    row_check,
    successors,
)
from felloe.validation.intake.raw.characters import cleaned

LONGEST_CHOICE = 60  # characters; the cell, in which a list opens, is somewhat wider


@dataclass(frozen=True)
class BallotRow:
    """
    A row of the ballot.

    Attributes
    ----------
    fixed : dict of str to str
        What stands in `kind`, `question`, `evidence` and the columns of its own, but the check.
    choices : list of str
    answers : dict of str to str
        What is filled in already.
    """

    fixed: Mapping[str, str]
    choices: Sequence[str]
    answers: Mapping[str, str]

    def cells(self, number: int, origin: Origin) -> dict[str, str | int]:
        """Return the whole row."""
        check = row_check(origin, self.fixed, self.choices)
        filled = {name: self.answers.get(name, "") for name in ANSWERED}
        return {"number": number, **self.fixed, **filled, "check": check}


def ballot_rows(questions: Iterable[Question], sources: Sources, words: Words) -> list[BallotRow]:
    """Return the questions as rows, then what the last ballot decided, filled in."""
    rows = [
        BallotRow(
            fixed(
                one.kind, one.title, "\n".join(told(one, words)), one.tier, one.subject,
                cleaned(one.proposal), one.alone, one.successors,
            ),
            [choice_of(option) for option in one.options],
            {},
        )
        for one in questions
    ]  # fmt: skip
    return rows + list(carried(sources, words))


def told(question: Question, words: Words) -> Iterator[str]:
    """Yield what is known of a question, and where a class can be dissolved."""
    yield from question.evidence
    if question.ends_by:
        link = words["ballot.question_link"]
        asked = ", ".join(link.format(number=number) for number in question.ends_by)
        yield f"{words['ballot.dissolve']} {asked}"


def fixed(
    kind: str, question: str, evidence: str, tier: str, subject: str, proposal: str = "",
    alone: bool = False, stands_in: str = "",
) -> dict[str, str]:  # fmt: skip
    """Return the cells of a row that nobody fills in."""
    return {
        "kind": kind, "question": question, "evidence": evidence[:CELL_LIMIT], "tier": tier,
        "subject": subject, "proposal": proposal, "alone": "yes" if alone else "no",
        "stands_in": stands_in,
    }  # fmt: skip


def choice_of(option: Option) -> str:
    """Return a choice as it stands in a list."""
    told = option.place or option.title
    text = cleaned(choice_text(option.code, option.term, " ".join(told.split())))
    return text if len(text) <= LONGEST_CHOICE else text[: LONGEST_CHOICE - 1].rstrip() + "\u2026"


def carried(sources: Sources, words: Words) -> Iterator[BallotRow]:
    """Yield what stands in the last ballot alone, so that a new one in its place loses nothing."""
    told = words["ballot.carried"]
    for row in sources.decisions:
        if row["from_ballot"] and row["term"] in sources.place:
            yield carried_decision(row, sources, words)
    for row in sources.names:
        if row["from_ballot"]:
            own = cleaned(choice_text(OTHER, row["anchor"], words["ballot.other_name"]))
            yield BallotRow(
                fixed("name", str(row["name"]), told, row["tier"], row["anchor"]),
                or_open(own, words),
                {
                    "choice": own, "name": row["name"],
                    "absorbs": "yes" if row["absorbs"] else "no", **answers_of(row),
                },
            )  # fmt: skip


def carried_decision(row: Row, sources: Sources, words: Words) -> BallotRow:
    """Return a decision of the last ballot, with what names of its group hang on instead."""
    term, beside = row["term"], row["beside"]
    left = sources.left_behind(term)
    code = BESIDE
    if beside in left["subclass"]:
        code, left = STAY, {}
    elif any(sources.place[one]["class"] == sources.place[term]["class"] for one in left["class"]):
        code = WITHIN
    own = cleaned(choice_text(code, beside, str(sources.label.get(beside, beside))))
    return BallotRow(
        fixed(
            "term", sources.label[term], words["ballot.carried"], "term", term,
            stands_in=successors(left),
        ),
        or_open(own, words),
        {"choice": own, **answers_of(row)},
    )  # fmt: skip


def or_open(choice: str, words: Words) -> list[str]:
    """Return the list of a row with one choice, which may be left open instead."""
    return [choice, cleaned(choice_text(OPEN, "", words["ballot.open"]))]


def answers_of(row: Mapping[str, Any]) -> dict[str, str]:
    """Return reason, day and role of a row."""
    return {name: str(row[name]) for name in SAID}
