"""The colours of a chart as a palette file and a table: other programs read what was drawn."""

import io

import pytest
from coloraide import Color
from felloe.colours.contrast import contrast_ratio
from felloe.report.chart import chart_terms, write_chart
from felloe.report.hand_off.colour_table import colour_rows
from felloe.report.hand_off.gpl_palette import LONGEST_LINE, gpl_palette
from felloe.report.steps.write_swatches import main as write_swatches
from felloe.report.tables import COLOUR_TABLE
from PIL.GimpPaletteFile import GimpPaletteFile
from test_chart import chart_of

WORDS = ("salt\tand brine", "crème fraîche", "うま味", "#hash", "Name: x", "w" * 51)


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("swatches"), n_terms=40, words=WORDS)


@pytest.fixture(scope="module")
def written(chart, tmp_path_factory):
    folder = tmp_path_factory.mktemp("written")
    write_chart(folder / "chart.json", chart)
    paths = {"palette": folder / "colours.gpl", "table": folder / "colour_table.csv"}
    write_swatches(chart=folder / "chart.json", **paths)
    return paths


def entries(chart):
    """Every class, subclass and term of a chart, in the order of the files."""
    parts = [(class_, part) for class_ in chart["classes"] for part in class_["subclasses"]]
    yield from (("class", class_, class_["name"]) for class_ in chart["classes"])
    yield from (("subclass", part, part["name"]) for _, part in parts)
    yield from (("term", term, term["label"]) for *_, term in chart_terms(chart, True))


def as_read(data):
    """Return the colours as Pillow, which reads such palettes, finds them."""
    levels, mode = GimpPaletteFile(io.BytesIO(data)).getpalette()
    assert mode == "RGB"
    return [f"#{levels[at : at + 3].hex()}" for at in range(0, len(levels), 3)]


def test_another_program_reads_the_colours_that_were_drawn(chart, written):
    expected = [entry["colour"]["used"] for _, entry, _ in entries(chart)]
    assert as_read(written["palette"].read_bytes()) == expected


def test_every_swatch_bears_tier_and_label(chart, written):
    lines = written["palette"].read_text(encoding="utf-8").splitlines()
    names = [line.split("\t")[1] for line in lines if "\t" in line]
    assert names == [f"{tier}: {' '.join(name.split())}" for tier, _, name in entries(chart)]


def test_the_head_of_a_palette_names_it():
    first, second, third, *rest = gpl_palette("Our words,\n2026", [("one", "#010203")]).split("\n")
    assert (first, second) == ("GIMP Palette", "Name: Our words, 2026")
    assert third.startswith("Columns: ")
    assert rest == ["#", "  1   2   3\tone", ""]


@pytest.mark.parametrize("letter", ["w", "é", "味", "😀"])
@pytest.mark.parametrize("length", [1, 20, 85, 86, 87, 88, 300])
def test_no_line_is_too_long_for_other_programs(letter, length):
    data = gpl_palette("x", [(letter * length, "#010203"), ("two", "#ffffff")]).encode()
    assert as_read(data) == ["#010203", "#ffffff"]
    assert max(len(line) for line in data.splitlines(keepends=True)) <= LONGEST_LINE
    name = data.decode().splitlines()[4].split("\t")[1]
    assert name == letter * length or (
        name.endswith("…") and letter * (len(name) - 1) + "…" == name
    )


@pytest.mark.parametrize("letter", ["w", "é", "味", "😀"])
@pytest.mark.parametrize("length", [1, 20, 91, 92, 93, 94, 300])
def test_the_name_of_a_palette_keeps_to_its_line(letter, length):
    data = gpl_palette(letter * length, [("one", "#010203")]).encode()
    line = data.splitlines(keepends=True)[1]
    assert len(line) <= LONGEST_LINE
    name = line.decode().removeprefix("Name: ").removesuffix("\n")
    whole = len("Name: \n") + len((letter * length).encode()) <= LONGEST_LINE
    assert name == letter * length if whole else name == letter * (len(name) - 1) + "…"


@pytest.mark.parametrize("mark", ["provisional", "preview"])
def test_a_marked_chart_says_so_in_its_palette(chart, mark, tmp_path):
    write_chart(tmp_path / "chart.json", {**chart, mark: True})
    write_swatches(
        chart=tmp_path / "chart.json", palette=tmp_path / "p.gpl", table=tmp_path / "t.csv"
    )
    assert f"# {mark}".upper() in (tmp_path / "p.gpl").read_text(encoding="utf-8").upper()


def test_the_table_holds_every_colour_once(chart, written):
    rows = COLOUR_TABLE.read(written["table"])
    named = [(row["tier"], row["id"]) for row in rows]
    assert named == [(tier, entry["id"]) for tier, entry, _ in entries(chart)]
    assert len(set(named)) == len(named)


def test_the_table_is_written_as_it_is_declared(chart, written):
    assert COLOUR_TABLE.read(written["table"]) == colour_rows(chart)


def test_cielab_of_the_table_is_that_of_a_library(written):
    # coloraide prints D65 with other last digits: see test_colours_by_a_library
    for row in COLOUR_TABLE.read(written["table"]):
        expected = Color(row["colour"]).convert("lab-d65").coords()
        assert [row["lightness"], row["a"], row["b"]] == pytest.approx(expected, abs=0.015)


def test_contrast_of_the_table_is_that_of_its_two_colours(written):
    for row in COLOUR_TABLE.read(written["table"]):
        assert row["text_colour"] in ("#000000", "#ffffff")
        assert row["contrast_ratio"] == contrast_ratio(row["colour"], row["text_colour"]) >= 4.5
