"""The wheel for the wall: what is drawn, in three formats, and told to those who listen."""

import json
from xml.etree import ElementTree

import pytest
from draw_wheel import main as draw
from felloe.report.chart import chart_terms, write_chart
from felloe.report.figure_wheel import described_svg, draw_wheel, ring_radii, spoken_description
from felloe.report.wheel_keys import MARKS, graded_gaps
from felloe.report.words import sorted_by
from test_chart import chart_of

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("chart"))


def drawn(folder, chart):
    folder.mkdir(exist_ok=True)
    write_chart(folder / "chart.json", chart)
    paths = {kind: folder / f"wheel.{kind}" for kind in ("svg", "pdf", "png")}
    draw(chart=folder / "chart.json", paper_mm=120, **paths)
    return paths


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("small"), n_classes=4, n_terms=20)


@pytest.fixture(scope="module")
def saved(small, tmp_path_factory):
    return drawn(tmp_path_factory.mktemp("wheel"), small)


@pytest.fixture(scope="module")
def figure(chart):
    return draw_wheel(chart, 420)


def texts(figure):
    return [text.get_text() for text in figure.axes[0].texts]


def test_every_term_stands_on_the_wheel(figure, chart):
    written = " ".join(texts(figure))
    assert [t["label"] for _, _, t in chart_terms(chart) if t["label"] not in written] == []


def test_there_is_one_segment_for_each_term_subclass_and_class(figure, chart):
    from matplotlib.patches import Polygon

    groups = sum(1 + len(class_["subclasses"]) for class_ in chart["classes"])
    segments = [p for p in figure.axes[0].patches if type(p) is Polygon]
    assert len(segments) == groups + sum(1 for _ in chart_terms(chart))


def test_every_term_that_is_not_firm_has_a_mark(figure, chart):
    marked = sum(term["status"] in MARKS for _, _, term in chart_terms(chart))
    marks = [line for line in figure.axes[0].lines if line.get_marker() not in ("None", "")]
    assert len(marks) == marked + len(MARKS)  # and one of each in the key


def test_labels_of_neighbouring_terms_do_not_touch(figure, chart):
    # the largest type that a sector allows is checked in the tests of label fitting; here that
    # the figure uses it: lines of text are lower than the chord at their inner end
    ring = ring_radii(chart)["term"]
    labels = {term["label"]: term for _, _, term in chart_terms(chart)}
    for text in figure.axes[0].texts:
        term = labels.get(text.get_text())
        if term:
            chord = (term["end_deg"] - term["start_deg"]) * 3.14159265 / 180 * ring[0]
            assert text.get_fontsize() / 72 * 25.4 <= chord


def test_all_text_lies_on_the_sheet(chart):
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    crowded = {**chart, "title": "A very long title of a study " * 6}
    people = {"id": "p", "label": "Makers and tasters of a long-named guild", "participants": 20}
    crowded["populations"] = [{**people, "charted": at > 0} for at in range(4)]
    figure = draw_wheel(crowded, 420)
    FigureCanvasAgg(figure)
    sheet = figure.bbox
    for text in figure.axes[0].texts:
        box = text.get_window_extent()
        assert box.x0 >= 0, text.get_text()
        assert box.y0 >= 0, text.get_text()
        assert box.x1 <= sheet.x1, text.get_text()
        assert box.y1 <= sheet.y1, text.get_text()


def test_the_svg_has_a_title_and_tells_its_terms(saved, small):
    root = ElementTree.parse(saved["svg"]).getroot()
    assert (root.get("role"), root.find(f"{SVG}title").text) == ("img", small["title"])
    told = root.find(f"{SVG}desc").text
    assert [t["label"] for _, _, t in chart_terms(small) if t["label"] not in told] == []


def test_drawing_twice_gives_the_same_bytes(saved, small, tmp_path):
    again = drawn(tmp_path / "again", small)
    for kind, path in saved.items():
        assert path.read_bytes() == again[kind].read_bytes(), kind


def test_markup_in_a_title_is_text():
    svg = described_svg('<svg width="1"><g/></svg>', "<b>bold</b> & more", "<script>")
    root = ElementTree.fromstring(svg)
    assert root.find("title").text == "<b>bold</b> & more"


@pytest.mark.parametrize(
    "words",
    [
        ("$x^2$ and $", "a_b^c", "%d \\alpha", "<b>bold</b>"),
        ("うま味", "rancio العربية", "crème brûlée", "кислый"),
        ("a very long label that goes on and on about fermented things " * 3, "x"),
    ],
)
def test_labels_of_any_kind_are_drawn(tmp_path, words):
    chart = chart_of(tmp_path, n_classes=3, n_terms=12, words=words)
    assert drawn(tmp_path / "wheel", chart)["png"].stat().st_size > 5_000


@pytest.mark.parametrize(("n_classes", "n_terms"), [(1, 3), (12, 300)])
def test_small_and_large_charts_are_drawn(tmp_path, n_classes, n_terms):
    chart = chart_of(tmp_path, n_classes=n_classes, n_terms=n_terms)
    figure = draw_wheel(chart, 420)
    assert len(texts(figure)) >= sum(1 for _ in chart_terms(chart))


def test_the_gap_key_shows_the_ends_of_each_grade(chart):
    # the example has gaps of 0.2, 0.8 and 3 degrees at heights 0.3, 0.6 and 0.95; one is widened
    wider = json.loads(json.dumps(chart))
    _, _, last = list(chart_terms(wider))[-1]
    last["gap_after_deg"], last["join_height_to_next"] = 4.5, 0.99
    assert graded_gaps(wider) == [
        ("within a subclass", 0.2, 0.3),
        ("between subclasses", 0.8, 0.6),
        ("between classes", 3.0, 0.95),
        ("between classes", 4.5, 0.99),
    ]


@pytest.mark.parametrize("degrees", [0.3, 4.0, 12.0, 40.0, 170.0])
def test_nothing_in_the_keys_overlaps_however_wide_the_gaps_are(chart, degrees):
    from matplotlib.patches import Rectangle

    wide = json.loads(json.dumps(chart))
    for class_ in wide["classes"]:
        class_["subclasses"][-1]["terms"][-1]["gap_after_deg"] = degrees
    _, _, last = list(chart_terms(wide))[-1]
    last["gap_after_deg"] = 1.1 * degrees
    ax = draw_wheel(wide, 420).axes[0]
    # everything below the rule over the keys
    rule = min(line.get_ydata()[0] for line in ax.lines if len(line.get_xdata()) == 2)
    inked = [*ax.texts, *(patch for patch in ax.patches if isinstance(patch, Rectangle))]
    boxes = [one.get_window_extent().padded(-0.5) for one in inked]
    below = ax.transData.transform((0, rule))[1]
    boxes = [box for box in boxes if box.y1 < below]
    assert len(boxes) > 25
    assert [(a, b) for i, a in enumerate(boxes) for b in boxes[:i] if a.overlaps(b)] == []


def test_data_are_called_invented_only_where_the_title_says_so(chart):
    assert "invented" in sorted_by(chart)
    assert "invented" not in sorted_by({**chart, "title": "Words of the guild"})


def test_a_chart_of_one_population_says_whose_it_is(chart):
    one, *others = chart["populations"]
    apart = {**chart, "populations": [one, *({**each, "charted": False} for each in others)]}
    assert f"The chart is that of {one['label']} alone." in sorted_by(apart)
    assert "alone" not in sorted_by(chart)


def test_the_key_gives_every_reason_for_a_term_to_be_doubtful(chart):
    words = " ".join(text.get_text() for text in draw_wheel(chart, 420).axes[0].texts)
    assert chart["limits"]["firm_probability"] == 0.75
    assert (
        "fewer than 75\u202f% of redraws, or its class does not hold, or it depends on how" in words
    )


def test_a_provisional_chart_says_so_first(chart):
    assert not sorted_by(chart).startswith("PROVISIONAL")
    assert sorted_by({**chart, "provisional": True}).startswith("PROVISIONAL: it cannot be told")


def test_both_marks_stand_in_the_middle_and_first_in_the_sentence(chart):
    marked = {**chart, "provisional": True, "preview": True}
    assert "provisional \u00b7 preview" in texts(draw_wheel(marked, 420))
    first, _, second = sorted_by(marked).partition("PREVIEW: ")
    assert first.startswith("PROVISIONAL: ")
    assert second.startswith("computed with few replicates")


def test_a_preview_says_so_to_readers_who_listen(chart):
    assert spoken_description({**chart, "preview": True}).startswith("PREVIEW: ")
    assert "PREVIEW" not in spoken_description(chart)


def test_a_provisional_chart_says_so_in_the_middle_where_nobody_cuts_it_off(chart, figure):
    assert "provisional" not in texts(figure)
    assert "provisional" in texts(draw_wheel({**chart, "provisional": True}, 420))
