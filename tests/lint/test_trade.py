"""Nothing of the demo's trade stands in the library: a study of sounds has no use for it."""

import csv
import re

import pytest
from test_layers import LIBRARY

DEMO = LIBRARY.parents[1] / "demo_data"
# stems from titles, populations and cautions of the demo; `pickle` is a module of Python
STEMS = re.compile(
    r"ferment|spoil|brin(?:e|ed|y)\b|pickl(?!e\b)|kraut|kimchi|vegetable|guild|mould|swell|"
    r"vinegar|yeast|lactic|cabbage|cellar",
    re.IGNORECASE,
)
TOLD = sorted(
    path
    for path in LIBRARY.rglob("*")
    if path.suffix in (".py", ".j2", ".css", ".js", ".yaml") and "__pycache__" not in path.parts
)


@pytest.mark.parametrize("path", TOLD, ids=lambda path: path.relative_to(LIBRARY).as_posix())
def test_no_word_of_the_demos_trade_stands_in(path):
    found = STEMS.search(path.read_text(encoding="utf-8"))
    assert not found, f"{path.name}: {found and found.group()}"


def test_the_stems_are_those_of_the_demo():
    texts = [path.read_text(encoding="utf-8") for path in DEMO.glob("*/study.yaml")]
    with open(DEMO / "brine-2026" / "terms.csv", encoding="utf-8", newline="") as stream:
        texts += [" ".join(row.values()) for row in csv.DictReader(stream)]
    found = {each.lower() for text in texts for each in STEMS.findall(text)}
    assert {"ferment", "spoil", "brine", "vegetable", "guild"} <= found
