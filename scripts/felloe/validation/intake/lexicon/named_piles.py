"""What people called their piles: `pile_words.csv`, held against the sorts."""

from collections.abc import Iterable, Sequence, Set

from felloe.ground.arrays import Array
from felloe.ground.files.tables import Row, unguarded
from felloe.validation.intake.raw.cells import (
    Verdict,
    has_columns,
    judge_pile,
    judge_text,
    plain_pile,
    report,
    report_repeated,
    unknown_id,
)
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.settings import Limits

PILE_WORDS = "pile_words.csv"
COLUMNS = ("participant", "pile", "words")
Key = tuple[str, str]  # participant and pile, as it is compared


def check_pile_words(table: RawTable, participants: Sequence[str] | None, limits: Limits) -> None:
    """
    Check `pile_words.csv` by itself.

    Parameters
    ----------
    table : RawTable
    participants : sequence of str or None
        None where the list could not be read.
    limits : Limits
    """
    if not has_columns(table, COLUMNS):
        return
    remedy = "Add the participant to participants.csv, or delete these rows."
    report(table, "participant", unknown_id(participants, "participant", remedy))
    report(table, "pile", judge_named_pile)
    report(table, "words", judge_text(limits.longest_text, needed=True))
    report_repeated(table, COLUMNS[:2], "the pile of this participant")


def judge_named_pile(value: str) -> Verdict:
    """Return (problem, remedy) of a pile that has words, or None."""
    return judge_pile(value) if value else ("is empty where a pile belongs", "Fill the cell in.")


def numbered_words(
    table: RawTable,
    sorts: RawTable,
    participants: Sequence[str],
    terms: Sequence[str],
    piles: Array,
) -> list[Row]:
    """
    Return the words beside the numbers that piles have once they are validated.

    Parameters
    ----------
    table : RawTable
        `pile_words.csv` without faults; piles that no sort has are reported.
    sorts : RawTable
        The sorts as they were handed in, without faults; of terms that are left out too. A pile
        that held no other is no pile any more.
    participants, terms : sequence of str
        In sorted order.
    piles : (n_participants, n_terms) array of int
        As validated.

    Returns
    -------
    list of dict
        By participant and pile.
    """
    people = {name: place for place, name in enumerate(participants)}
    columns = {name: place for place, name in enumerate(terms)}
    lies_in = term_by_pile(sorts, set(table["participant"].values), columns.keys())
    rows = []
    cells = zip(*(table[name].texts() for name in COLUMNS), table.lines.tolist(), strict=True)
    for person, pile, words, line in cells:
        term = lies_in.get((person, plain_pile(pile)))
        if term is None:
            problem = f"participant '{person}' has no such pile in {sorts.file}"
            table.fault(line, "pile", pile, problem, "Mend the number, or delete the row.")
        elif term in columns:
            number = int(piles[people[person], columns[term]])
            rows.append({"participant": person, "pile": number, "words": unguarded(words)})
    return sorted(rows, key=lambda row: (row["participant"], row["pile"]))


def term_by_pile(sorts: RawTable, people: set[str], terms: Set[str]) -> dict[Key, str]:
    """Return a term that lies in each pile of some people: one of `terms`, if any of them does."""
    found: dict[Key, str] = {}
    who = sorts["participant"].texts()
    cells: Iterable[tuple[str, str, str]]
    if terms <= sorts.columns.keys():  # the wide layout
        named = [(name, sorts[name].texts()) for name in sorts.columns if name != "participant"]
        cells = (
            (person, name, pile)
            for name, column in named
            for person, pile in zip(who, column, strict=True)
        )
    else:
        cells = zip(who, sorts["term"].texts(), sorts["pile"].texts(), strict=True)
    for person, term, pile in cells:
        if pile and person in people:
            key = person, plain_pile(pile)
            if term in terms or key not in found:
                found[key] = term
    return found
