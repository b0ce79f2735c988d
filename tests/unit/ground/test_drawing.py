"""Figures: saved with the same bytes each time, names where their rows and columns are."""

import subprocess
import sys
from pathlib import Path

import matplotlib
import matplotlib.image
import pytest
from felloe.errors import StudyError
from felloe.ground.axis_names import name_columns, name_rows
from felloe.ground.drawing import figure, save_figure, use_fonts
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent
NAMES = ["first", "a $dear$ second", "third"]


def saved(folder, kinds=("svg", "pdf", "png")):
    fig = figure(60, 40)
    ax = fig.add_subplot()
    ax.set(xlim=(-0.5, 2.5), ylim=(-0.5, 2.5))
    name_rows(ax, NAMES, 6.0)
    name_columns(ax, NAMES, 6.0)
    folder.mkdir()
    paths = [folder / f"figure.{kind}" for kind in kinds]
    save_figure(fig, paths, title="Three names")
    return paths


def test_a_figure_drawn_twice_is_the_same_bytes_in_every_format(tmp_path):
    one, other = saved(tmp_path / "one"), saved(tmp_path / "other")
    assert [path.read_bytes() for path in one] == [path.read_bytes() for path in other]


@pytest.mark.parametrize("kinds", [["svg", "png"], ["png", "svg", "pdf"]])
def test_a_figure_has_the_same_bytes_whatever_else_it_is_saved_as(tmp_path, kinds):
    expected = {path.suffix: path.read_bytes() for path in saved(tmp_path / "all")}
    made = saved(tmp_path / "some", kinds)
    assert [path.read_bytes() for path in made] == [expected[f".{kind}"] for kind in kinds]
    assert len(list((tmp_path / "some").iterdir())) == len(kinds)


ODD_TASTE = """
font.size: 20
font.family: serif
font.stretch: condensed
axes.facecolor: red
axes.prop_cycle: cycler('color', ['k'])
lines.linewidth: 7
savefig.bbox: tight
savefig.transparent: True
svg.hashsalt: mine
svg.fonttype: none
pdf.compression: 0
path.sketch: 1, 100, 2
figure.autolayout: True
text.parse_math: False
"""


@pytest.mark.parametrize("place", ["working folder", "variable"])
def test_a_users_taste_in_figures_changes_no_byte(tmp_path, monkeypatch, place):
    expected = [path.read_bytes() for path in saved(tmp_path / "expected")]
    taste = tmp_path / ("matplotlibrc" if place == "working folder" else "odd")
    taste.write_text(ODD_TASTE, encoding="utf-8")
    if place == "variable":
        monkeypatch.setenv("MATPLOTLIBRC", str(taste))
    monkeypatch.setenv("PYTHONPATH", f"{HERE}:{HERE.parents[2] / 'scripts'}")
    program = "from pathlib import Path; from test_drawing import saved; saved(Path('made'))"
    subprocess.run([sys.executable, "-c", program], cwd=tmp_path, check=True)
    made = [path.read_bytes() for path in sorted((tmp_path / "made").iterdir(), reverse=True)]
    assert made == [expected[0], expected[2], expected[1]]


def test_a_figure_has_its_printed_size_in_millimetres():
    assert figure(254, 127).get_size_inches().tolist() == pytest.approx([10.0, 5.0])


def test_the_title_of_a_figure_stands_in_its_files(tmp_path):
    svg, pdf, _ = saved(tmp_path / "one")
    assert "Three names" in svg.read_text(encoding="utf-8")
    assert b"Three names" in pdf.read_bytes()


@pytest.mark.parametrize(("draw", "axis"), [(name_rows, 1), (name_columns, 0)])
def test_every_name_stands_at_its_own_row_or_column(draw, axis):
    ax = figure(60, 40).add_subplot()
    draw(ax, NAMES, 6.0)
    assert [text.get_position()[axis] for text in ax.texts] == [0, 1, 2]


@pytest.mark.parametrize("draw", [name_rows, name_columns])
def test_dollar_signs_in_a_name_are_no_formula(draw):
    ax = figure(60, 40).add_subplot()
    draw(ax, NAMES, 6.0)
    assert not any(text.get_parse_math() for text in ax.texts)


def test_names_have_the_colours_and_weights_that_they_are_given():
    ax = figure(60, 40).add_subplot()
    name_rows(ax, NAMES, 6.0, colors=["red", "green", "blue"], weights=["bold", "normal", "bold"])
    looks = [(text.get_color(), text.get_fontweight()) for text in ax.texts]
    assert looks == [("red", "bold"), ("green", "normal"), ("blue", "bold")]


def labelled(folder, label):
    folder.mkdir(exist_ok=True)
    fig = figure(40, 20)
    fig.text(0.5, 0.5, label)
    paths = [folder / f"f.{kind}" for kind in ("svg", "pdf", "png")]
    save_figure(fig, paths)
    return paths


def test_letters_that_no_font_has_stop_a_figure_and_nothing_is_written(tmp_path):
    with pytest.raises(StudyError, match=r"'味' \(U\+5473\).*wheel.fonts"):
        labelled(tmp_path / "boxes", "味噌")
    assert list((tmp_path / "boxes").iterdir()) == []


def test_a_further_font_sets_what_the_usual_one_lacks(tmp_path):
    # U+A75A stands in no DejaVu Sans; found by the table of the font itself
    with TTFont(further_font()) as font, TTFont(usual_font()) as usual:
        lacking = sorted(set(font.getBestCmap()) - set(usual.getBestCmap()))
    letter = chr(next(one for one in lacking if one > 0x2000))
    with pytest.raises(StudyError):
        labelled(tmp_path / "without", letter)
    use_fonts([further_font()])
    try:
        assert all(path.stat().st_size for path in labelled(tmp_path / "with", letter))
    finally:
        use_fonts([])
    with pytest.raises(StudyError):
        labelled(tmp_path / "after", letter)


def usual_font():
    return Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"


def further_font():
    return Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "STIXGeneral.ttf"


def test_a_further_font_that_is_none_is_named(tmp_path):
    path = tmp_path / "notes.ttf"
    path.write_text("no font", encoding="utf-8")
    with pytest.raises(StudyError, match=r"notes.ttf: is no font"):
        use_fonts([path])


@pytest.mark.parametrize("size", [(60, 40), (190, 290), (297, 400)])
def test_the_mark_of_a_preview_stays_off_the_edges_whatever_the_size(tmp_path, size):
    fig = figure(*size)
    save_figure(fig, [tmp_path / f"a.{kind}" for kind in ("svg", "pdf", "png")], preview=True)
    pixels = matplotlib.image.imread(tmp_path / "a.png")[..., :3]
    inked = (pixels < 0.5).any(axis=-1)
    margin = int(1.5 / 25.4 * 150)  # millimetres, at the resolution of the picture
    assert inked.any()
    assert not inked[:margin].any()
    assert not inked[:, -margin:].any()
