"""`labels.csv`: what terms and groups are called in other languages."""

from felloe.ground.files.tables import Row
from felloe.ground.language_tags import canonical_tag
from felloe.validation.intake.lexicon.vocabulary import Known, one_of, texts
from felloe.validation.intake.raw.cells import (
    Judge,
    Verdict,
    has_columns,
    judge_text,
    note_dangerous,
    report,
    unknown_id,
)
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.study_file import judge_language
from felloe.validation.settings import Limits

LABEL_COLUMNS = ("id", "tier", "language", "label")
LABEL_OPTIONAL = ("definition", "reference", "caution")
TIERS = ("class", "subclass", "term")


def check_labels(table: RawTable, terms: Known, limits: Limits, own: str) -> list[Row]:
    """
    Check `labels.csv`.

    Parameters
    ----------
    table : RawTable
    terms : collection of str or None
        The ids of the terms; None where they could not be read.
    limits : Limits
    own : str
        Tag of the study's own language, whose wording stands elsewhere.

    Returns
    -------
    list of dict
        Sorted by language, tier and id; tags as the standard writes them.
    """
    if not has_columns(table, LABEL_COLUMNS, LABEL_OPTIONAL):
        return []
    remedy = "Name a term of terms.csv; a group is named by any term within it."
    report(table, "id", unknown_id(terms, "term", remedy))
    report(table, "tier", one_of(*TIERS))
    report(table, "language", further_language(own))
    report(table, "label", judge_text(limits.longest_label, needed=True))
    note_dangerous(table, "label")
    for name in LABEL_OPTIONAL:
        if name in table:
            report(table, name, judge_text(limits.longest_text, lines=True))
            note_dangerous(table, name)
    columns = [texts(table, name) for name in (*LABEL_COLUMNS, *LABEL_OPTIONAL)]
    rows = [
        dict(zip((*LABEL_COLUMNS, *LABEL_OPTIONAL), row, strict=True))
        for row in zip(*columns, strict=True)
    ]
    for row in rows:
        row["language"] = canonical_tag(row["language"]) or row["language"]
    report_repeated_labels(table, rows)
    note_alike(table, rows)
    leave_out_of_groups(table, rows)
    return sorted(rows, key=lambda row: (row["language"], row["tier"], row["id"]))


def further_language(own: str) -> Judge:
    """Return a judge of the tag of a language that is not the study's own."""

    def judge(value: str) -> Verdict:
        if not value:
            return "is empty where the tag of a language belongs", "Fill the cell in."
        if canonical_tag(value) == own:
            remedy = "Its wording stands in terms.csv and names.csv: take the row out, or set "
            return "is the study's own language", f"{remedy}`language` in study.yaml."
        return judge_language(value)

    return judge


def report_repeated_labels(table: RawTable, rows: list[Row]) -> None:
    """Report rows for what an earlier row words in the same language."""
    seen: dict[tuple[str, str, str], int] = {}
    for row, line in zip(rows, table.lines.tolist(), strict=True):
        key = (row["tier"], row["id"], row["language"])
        first = seen.setdefault(key, line)
        if first != line:
            problem = f"the {key[0]} has a label in '{key[2]}' already (first on line {first})"
            table.fault(line, "id", row["id"], problem, "Keep one of the two rows.")


def note_alike(table: RawTable, rows: list[Row]) -> None:
    """Warn of two terms that a reader of one language can't tell apart."""
    seen: dict[tuple[str, str], str] = {}
    for row, line in zip(rows, table.lines.tolist(), strict=True):
        if row["tier"] != "term" or not row["label"]:
            continue
        other = seen.setdefault((row["language"], row["label"].casefold()), row["id"])
        if other != row["id"]:
            problem = f"{row['label']!r} is also the label of '{other}' in '{row['language']}'"
            table.note(line, "label", problem, "warning")


def leave_out_of_groups(table: RawTable, rows: list[Row]) -> None:
    """Empty what only terms have in the rows of groups, and say so."""
    for row, line in zip(rows, table.lines.tolist(), strict=True):
        for name in LABEL_OPTIONAL if row["tier"] != "term" else ():
            if row[name]:
                row[name] = ""
                table.note(line, name, f"a {row['tier']} has no {name}; it is not read", "warning")
