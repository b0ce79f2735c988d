"""The sizes beyond which figures and files show less, and the table that tells them."""

from felloe.ground.many_terms import LIMITS
from felloe.settings import DEFAULTS


def rows_of(path, heading):
    """The cells of the first table below a heading."""
    text = path.read_text(encoding="utf-8").split(f"\n## {heading}\n")[1].split("\n## ")[0]
    rows = [line for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows[2:]]


def test_the_table_of_the_settings_page_is_what_the_module_says():
    told = [[one.shown, f"{one.most:,} {one.unit}", one.beyond] for one in LIMITS]
    assert rows_of(DEFAULTS.parent / "README.md", "Many terms") == told


def test_every_limit_is_named_once():
    assert len({one.shown for one in LIMITS}) == len(LIMITS)
