"""What people called their piles: `pile_words.csv`, held against the sorts."""

from collections.abc import Collection, Iterable, Sequence

from felloe.ground.arrays import Array
from felloe.ground.files.tables import Row, unguarded
from felloe.validation.intake.cells import (
    Verdict,
    has_columns,
    judge_pile,
    judge_text,
    plain_pile,
    report,
    report_repeated,
    unknown_id,
)
from felloe.validation.intake.raw_table import RawTable
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
    aside: Collection[Key] = (),
) -> list[Row]:
    """
    Return the words beside the numbers that piles have once they are validated.

    Parameters
    ----------
    table : RawTable
        `pile_words.csv` without faults; piles that no sort has are reported.
    sorts : RawTable
        The sorts as they were handed in, without faults.
    participants, terms : sequence of str
        In sorted order.
    piles : (n_participants, n_terms) array of int
        As validated.
    aside : collection of Key
        Piles in which terms lay that are left out: one that held no other is no pile any more.

    Returns
    -------
    list of dict
        By participant and pile.
    """
    people = {name: place for place, name in enumerate(participants)}
    columns = {name: place for place, name in enumerate(terms)}
    lies_in = terms_by_pile(sorts, set(table["participant"].values), terms)
    rows = []
    cells = zip(*(table[name].texts() for name in COLUMNS), table.lines.tolist(), strict=True)
    for person, pile, words, line in cells:
        term = lies_in.get((person, plain_pile(pile)))
        if term is None and (person, plain_pile(pile)) in aside:
            continue
        if term is None:
            problem = f"participant '{person}' has no such pile in {sorts.file}"
            table.fault(line, "pile", pile, problem, "Mend the number, or delete the row.")
            continue
        number = int(piles[people[person], columns[term]])
        rows.append({"participant": person, "pile": number, "words": unguarded(words)})
    return sorted(rows, key=lambda row: (row["participant"], row["pile"]))


def piles_in(aside: RawTable, table: RawTable, terms: Collection[str]) -> Collection[Key]:
    """Return the piles of people who had words in which terms lay that are left out."""
    columns = [name for name in aside.columns if name in terms]  # of the wide layout
    return terms_by_pile(aside, set(table["participant"].values), columns or [*terms]).keys()


def terms_by_pile(sorts: RawTable, people: set[str], terms: Sequence[str]) -> dict[Key, str]:
    """Return one term that lies in each pile of some people."""
    found: dict[Key, str] = {}
    who = sorts["participant"].texts()
    cells: Iterable[tuple[str, str, str]]
    if set(terms) <= set(sorts.columns):  # the wide layout
        named = [(name, sorts[name].texts()) for name in terms]
        cells = (
            (person, name, pile)
            for name, column in named
            for person, pile in zip(who, column, strict=True)
        )
    else:
        cells = zip(who, sorts["term"].texts(), sorts["pile"].texts(), strict=True)
    for person, term, pile in cells:
        if pile and person in people:
            found[person, plain_pile(pile)] = term
    return found
