"""What is drawn and told of two editions whose history is known."""

import html
import re
import shutil
from collections import Counter

import pytest
from compare_editions import main as compare
from edition_study import map_crosswalk, members_of, outputs_in, told_in
from felloe.colours.contrast import outline_colour
from felloe.colours.tables import COLOURS
from felloe.comparison.chart import ChartSource, write_chart_source
from felloe.editions.columns.figure_words import drawn_told
from felloe.editions.fates import COMMON
from felloe.editions.steps.draw_editions import main as draw
from felloe.editions.steps.report_editions import main as report
from felloe.editions.tables import TERMS
from felloe.editions.wheels.hues import grey_beside
from felloe.ground.files.records import read_json, write_json
from felloe.report.hand_off.uris import scheme_uri
from rdflib import SKOS, Graph

HUES = ("#5cb2a6", "#7a523e", "#7d57b7")  # of the newer edition's classes


def colours_of(compared):
    """Write the colours of the newer edition's classes beside its comparison."""
    classes = sorted(
        {row["class_newer"] for row in TERMS.read(compared / "terms.csv")} - {"", None}
    )
    blank = dict.fromkeys(COLOURS.names) | {"tier": "class", "n_picks": 9, "reason": "as_picked"}
    rows = [
        blank
        | {"term": name, "used": hue, "outline": outline_colour(hue), "text_colour": "#000000"}
        for name, hue in zip(classes, HUES, strict=True)
    ]
    path = compared / "colours.csv"
    COLOURS.write(path, rows)
    return path


def drawn(settings, compared):
    figures = [
        [compared / "figures" / f"{name}.{kind}" for kind in ("svg", "pdf", "png")]
        for name in ("migration", "distances")
    ]
    draw(
        **outputs_in(compared),
        older_distances=settings["older_distances"],
        newer_distances=settings["newer_distances"],
        older_order=settings["older_order"],
        newer_order=settings["newer_order"],
        newer_colours=colours_of(compared),
        migration=figures[0],
        distances=figures[1],
    )
    return [path for paths in figures for path in paths if path.suffix != ".pdf"]


def tell(compared, figures, page):
    report(**told_in(compared), figures=figures, report=page, folder=compared)


def test_the_report_names_the_mover_and_its_classes(settings, compared):
    figures = drawn(settings, compared)
    page = compared / "report.html"
    tell(compared, figures, page)
    text = page.read_text(encoding="utf-8")
    assert '<th scope="row">MOVER</th><td>class of b1</td><td>class of a1</td>' in text


def test_without_correspondence_the_report_says_so_and_lists_no_move(settings, unrelated):
    page = unrelated / "report.html"
    tell(unrelated, drawn(settings, unrelated), page)
    text = page.read_text(encoding="utf-8")
    assert "do not correspond better than chance" in text
    assert "Terms whose classes do not correspond" not in text
    assert ">stayed<" not in text


def test_the_figure_without_correspondence_explains_its_lines(settings, unrelated, compared):
    drawn(settings, unrelated)
    drawn(settings, compared)
    told = [
        "<!-- classes without correspondence -->"
        in (folder / "figures" / "migration.svg").read_text(encoding="utf-8")
        for folder in (unrelated, compared)
    ]
    assert told == [True, False]


def test_the_report_tells_the_classes_of_the_editions_apart(settings, compared):
    page = compared / "apart.html"
    tell(compared, drawn(settings, compared), page)
    text = page.read_text(encoding="utf-8")
    assert '<th scope="row">2016: class of b1</th><td>2026: class of b1</td>' in text


def test_drawing_and_telling_twice_gives_the_same_bytes(settings, compared):
    page = compared / "again.html"
    told = []
    for _ in range(2):
        figures = drawn(settings, compared)
        tell(compared, figures, page)
        told.append([path.read_bytes() for path in [*figures, page]])
    assert told[0] == told[1]


@pytest.mark.parametrize(
    ("says", "said"),
    [
        ("value", "r is 1.083 (95\u202f% interval 0.912 to 1.000)"),
        ("at_least", "r is at least 0.912 (lower end"),
        ("no_bound", "neither a value nor a bound"),
        ("nothing", "neither a value nor a bound"),
    ],
)
def test_a_corrected_correlation_is_told_as_its_code_says(settings, compared, tmp_path, says, said):
    folder = shutil.copytree(compared, tmp_path / "told")
    record = read_json(folder / "comparison.json")
    numbers = {"corrected": 1.083, "low": 0.912, "high": 1.0, "says": says}
    write_json(
        folder / "comparison.json", {**record, "corrected_r": {**record["corrected_r"], **numbers}}
    )
    page = folder / "report.html"
    tell(folder, drawn(settings, folder), page)
    text = html.unescape(re.sub("<[^>]*>", "", page.read_text(encoding="utf-8")))
    assert said in text
    assert ("1.083" in text) == (says == "value")


def test_a_provisional_edition_marks_everything_made_of_it(settings, tmp_path):
    chart = ChartSource("pooled", "plain", provisional=True)
    write_chart_source(tmp_path / "chart.json", chart)
    provisional = {**settings, "newer_chart": tmp_path / "chart.json"}
    compare(**provisional, **outputs_in(tmp_path))
    map_crosswalk(settings, tmp_path, tmp_path / "crosswalk.ttl")
    members_of(settings, tmp_path)
    figures = drawn(settings, tmp_path)
    tell(tmp_path, figures, tmp_path / "report.html")
    page = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert "The chart of 2026 is provisional" in page
    graph = Graph().parse(tmp_path / "crosswalk.ttl")
    noted = {str(scheme) for scheme, note in graph.subject_objects(SKOS.editorialNote)}
    assert noted == {scheme_uri("guild-2026")}
    for path in figures:
        if path.suffix == ".svg":
            assert "2026 (provisional)" in path.read_text(encoding="utf-8")


def test_settled_editions_carry_no_mark(settings, compared):
    page = compared / "settled.html"
    tell(compared, drawn(settings, compared), page)
    assert "provisional" not in page.read_text(encoding="utf-8").lower()
    assert "provisional" not in (compared / "crosswalk.ttl").read_text(encoding="utf-8").lower()


def common_rows(folder):
    return [row for row in TERMS.read(folder / "terms.csv") if row["change"] in COMMON]


def fills_of(folder):
    """Return the fills of the bars of the picture of two columns, and how often each is drawn."""
    text = (folder / "figures" / "migration.svg").read_text(encoding="utf-8")
    return Counter(re.findall(r"fill: (#[0-9a-f]{6}); stroke: #", text))


def test_both_columns_have_the_hues_of_the_newer_edition(settings, compared):
    drawn(settings, compared)
    found = fills_of(compared)
    # every class stayed: its bar is drawn in the same hue on both sides
    assert {hue: found[hue] for hue in HUES} == dict.fromkeys(HUES, 2)


def test_classes_without_counterpart_are_grey_on_the_older_side_alone(settings, unrelated):
    drawn(settings, unrelated)
    found = fills_of(unrelated)
    grey = grey_beside({hue: {"used": hue} for hue in HUES})["used"]
    assert {hue: found[hue] for hue in HUES} == dict.fromkeys(HUES, 1)
    assert found[grey] == len({row["class_older"] for row in common_rows(unrelated)})
    text = (unrelated / "figures" / "migration.svg").read_text(encoding="utf-8")
    assert "No class of 2016 corresponds to one of 2026" in text


def test_the_picture_says_which_terms_it_does_not_draw(settings, compared):
    drawn(settings, compared)
    text = (compared / "figures" / "migration.svg").read_text(encoding="utf-8")
    # by the example: `gone` of 2016 is retired, `fresh` of 2026 is new
    assert "Not drawn: of 2016 1 retired; of 2026 1 new." in text


def test_terms_that_are_not_one_to_one_are_told_apart():
    counts = {"common": 7, "retired": 0, "split": 1, "merged": 3, "new": 2, "split_into": 2}
    told = drawn_told("2016", "2026", counts | {"merged_into": 1})
    assert told == (
        "Drawn: 7 terms that both editions have one to one. Not drawn: of 2016 1 split, 3 merged; "
        "of 2026 2 new, 2 split from another, 1 merged from others."
    )
