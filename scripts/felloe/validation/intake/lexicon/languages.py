"""The languages of a study, read at a glance: the plan of a run has to know them."""

from pathlib import Path

from felloe.ground.language_tags import canonical_tag
from felloe.validation.intake.glance import glance

LABELS_FILE = "labels.csv"
LABELS_SHEET = "labels.xlsx"
COLUMN = "language"


def languages_of(folder: str | Path, own: str) -> list[str]:
    """
    Return the further languages of a study.

    Parameters
    ----------
    folder : str or Path
        Of the study.
    own : str
        Tag of the study's own language.

    Returns
    -------
    list of str
        Tags as the standard writes them, sorted; none where the file is missing, too large, faulty
        in its form or in a tag: the check of the study says so, by the same bounds, and nothing is
        made before it passes.
    """
    text, sheet = (Path(folder) / name for name in (LABELS_FILE, LABELS_SHEET))
    try:
        if text.is_file() == sheet.is_file():
            return []
        given = {cell for (cell,) in glance(sheet if sheet.is_file() else text, [COLUMN])}
    # a reader of spreadsheets has errors of a dozen kinds
    except Exception:
        return []
    tags = {canonical_tag(language) for language in given}
    found = {tag for tag in tags if tag is not None}
    return sorted(found - {own}) if len(found) == len(tags) else []
