"""Whether a study was sorted in parts, at a glance: the plan of a run has to know it."""

from collections import Counter
from pathlib import Path

from felloe.validation.intake.glance import glance

DESIGN = "design.csv"
SHEET = "design.xlsx"
COLUMNS = ("participant", "term")


def in_parts(folder: str | Path) -> bool:
    """
    Tell at a glance whether a study was sorted in parts.

    It was if there is a design that shows somebody less than the whole lexicon; one that shows
    everybody every term, as a kit writes it, says in what order and nothing else.

    Parameters
    ----------
    folder : str or Path
        Of the study.

    Returns
    -------
    bool
        True also of a design or a lexicon with a fault: the check of the study says so.
    """
    there = [path for name in (DESIGN, SHEET) if (path := Path(folder) / name).exists()]
    if len(there) != 1:
        return bool(there)
    # a reader of spreadsheets has errors of a dozen kinds
    try:
        issued = [(person, term) for person, term in glance(there[0], COLUMNS) if term]
        terms = {term for (term,) in glance(Path(folder) / "terms.csv", ["term"])}
        left_out = left_out_of(Path(folder))
    except Exception:
        return True
    shown = Counter(person for person, term in issued if term not in left_out)
    shown.update(dict.fromkeys({person for person, _ in issued}, 0))  # of left-out terms alone
    return set(shown.values()) != {len(terms)}


def left_out_of(folder: Path) -> set[str]:
    """Return the terms that people were shown and that are not analysed, at a glance."""
    path = folder / "left_out.csv"
    return {term for (term,) in glance(path, ["term"])} if path.exists() else set()
