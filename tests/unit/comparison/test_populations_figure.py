"""The step and the figure of the populations, from sorts to files."""

import numpy as np
import pytest
from calibration.sorting_people import CASES, invented_sorts, two_populations
from felloe.comparison.figures import MATRIX, PopulationsView, draw_matrix, people_drawn
from felloe.comparison.steps import choose_chart, compare_populations, draw_populations
from felloe.comparison.tables import TERMS, TREES
from felloe.errors import StudyError
from felloe.ground.files.records import read_json, write_json
from felloe.matrices.counts import counts_by_population
from felloe.matrices.tables import write_counts
from felloe.settings import resolve
from felloe.validation.analysed import write_analysed
from felloe.validation.tables import TERMS as LEXICON
from newick_reader import leaves

LEAST_POINTS = 3.4  # of a name that can be read with a glass
IDS = tuple(f"term{number:02d}" for number in range(60))
TIERS = ("classes", "classes_range", "subclasses", "subclasses_range")
DRAWN = (
    "permutations", "shape_permutations", "splits", "halves", "granularity_bins", "linkage"
)  # fmt: skip
CHARTED = (
    "pooling", "cannot_tell", "override_reason", "chart_population", "equal_weights_ratio"
)  # fmt: skip
FIGURES = ("svg", "pdf", "png")
APART = {"margins": {"named_terms": 0.05}}  # a tenth of the terms moved: more than notes carry


def compare(folder, case, names=("makers", "panel"), unplaced=(), **changes):
    """Run the step on invented sorts; return the folder of its results."""
    piles, first = two_populations(case, np.random.default_rng(2), 16)
    for where in unplaced:
        piles[where] = -1
    sorts = invented_sorts(piles, first, names)
    write_analysed(folder / "analysed.csv", sorts)
    for name, counted in counts_by_population(sorts).items():
        write_counts(counted, folder / f"{name}.together.csv", folder / f"{name}.both.csv")
    write_json(folder / "study.json", {"populations": {"makers": "Makers", "panel": "Panel"}})
    small = {"permutations": 199, "shape_permutations": 199, "splits": 40, **changes}
    settings = resolve({"comparison": small, "tiers": {"classes": 6, "subclasses": 18}}, "the test")
    comparison = settings["comparison"]
    compare_populations.main(
        sorts=folder / "analysed.csv",
        **matrices(folder),
        study="a-study",
        seed=1,
        tiers={name: settings["tiers"][name] for name in TIERS},
        compared={name: comparison[name] for name in DRAWN},
        margins=comparison["margins"],
        smallest_cell=settings["privacy"]["smallest_cell"],
        populations=folder / "populations.json",
        trees=folder / "trees.csv",
        **{name: folder / f"{name}.csv" for name in ("terms", "pairs", "splits", "consequence")},
    )
    choose_chart.main(
        populations=folder / "populations.json",
        study="a-study",
        pooling={name: comparison[name] for name in CHARTED},
        chart=folder / "chart.json",
    )
    return folder


def matrices(folder):
    """Return whose counts lie in a folder, and where."""
    names = sorted(path.name.split(".")[0] for path in folder.glob("*.both.csv"))
    paths = {
        kind: [folder / f"{name}.{kind}.csv" for name in names] for kind in ("together", "both")
    }
    return {"counted": names, **paths}


def draw(folder, into):
    """Draw the figure of a folder of results."""
    lexicon = folder / "lexicon.csv"
    empty = dict.fromkeys(LEXICON.names, "")
    LEXICON.write(lexicon, [{**empty, "term": one, "label": f"Label of {one}"} for one in IDS])
    into.mkdir()
    draw_populations.main(
        populations=folder / "populations.json",
        **matrices(folder),
        about=folder / "study.json",
        pooling="decide",
        lexicon=lexicon,
        **{name: folder / f"{name}.csv" for name in ("terms", "splits", "consequence")},
        populations_figure=[into / f"populations.{kind}" for kind in FIGURES],
    )
    return [(into / f"populations.{kind}").read_bytes() for kind in FIGURES]


@pytest.fixture(scope="module")
def apart(tmp_path_factory):
    return compare(tmp_path_factory.mktemp("apart"), CASES[3], **APART, chart_population="panel")


def test_populations_kept_apart_leave_both_trees_and_the_chart_of_one(apart):
    record = read_json(apart / "populations.json")
    assert record["verdict"] == "keep_apart"
    assert read_json(apart / "chart.json") == {
        "source": "panel",
        "weights": "plain",
        "chosen_by": "settings",
        "provisional": False,
        "preview": False,
        "override": None,
        "override_reason": None,
    }
    trees = {row["chart"]: row["newick"] for row in TREES.read(apart / "trees.csv")}
    assert {"makers", "panel", "pooled"} <= set(trees)
    assert all(sorted(leaves(tree + ";")) == list(IDS) for tree in trees.values())


def test_the_table_of_terms_has_the_columns_of_the_interface(apart):
    rows = TERMS.read(apart / "terms.csv")
    assert {"term", "difference", "p_maxT"} <= set(rows[0])
    assert [row["term"] for row in rows] == list(IDS)


def test_comparing_twice_gives_the_same_bytes(apart, tmp_path):
    again = compare(tmp_path, CASES[3], **APART, chart_population="panel")
    for name in ("populations.json", "terms.csv", "pairs.csv", "splits.csv", "consequence.csv"):
        assert (again / name).read_bytes() == (apart / name).read_bytes()


def test_drawing_twice_gives_the_same_bytes(apart, tmp_path):
    assert draw(apart, tmp_path / "one") == draw(apart, tmp_path / "two")


def test_one_population_is_drawn_without_a_comparison(tmp_path):
    folder = compare(tmp_path, CASES[0], names=("makers", "makers"))
    assert read_json(folder / "populations.json")["compared"] is False
    svg = draw(folder, tmp_path / "figures")[0]
    assert svg.startswith(b"<?xml")


@pytest.mark.parametrize("n_terms", [96, 240])
def test_terms_are_named_beside_the_matrix_where_they_can_be_read(n_terms):
    from felloe.ground.drawing import figure

    shares = np.full((n_terms, n_terms), 0.5)
    terms = tuple(f"term {at}" for at in range(n_terms))
    view = PopulationsView(
        terms, ("a",) * n_terms, shares, shares, ("Makers (9)", "Panel (9)"), {}, {},
        np.array([]), (), (),
    )  # fmt: skip
    fig = figure(297, 210)
    ax = fig.add_axes(MATRIX)
    draw_matrix(fig, ax, view)
    named = [text for text in ax.texts if text.get_text() in terms]
    assert len(named) == (n_terms if n_terms == 96 else 0)
    assert all(text.get_fontsize() >= LEAST_POINTS for text in named)
    said = " ".join(text.get_text() for text in fig.texts)
    assert ("240 terms have no room for their names" in said) == (n_terms == 240)


def test_an_unknown_chart_population_stops_the_choice_and_leaves_the_dossier(tmp_path):
    with pytest.raises(StudyError, match=r"comparison\.chart_population is 'judges'"):
        compare(tmp_path, CASES[3], **APART, chart_population="judges")
    assert read_json(tmp_path / "populations.json")["verdict"] == "keep_apart"
    assert not (tmp_path / "chart.json").exists()


def test_two_people_who_share_no_pair_of_terms_are_named(tmp_path):
    with pytest.raises(StudyError, match="'p00' and 'p01' placed fewer than two terms in common"):
        compare(tmp_path, CASES[0], unplaced=[(0, slice(30, None)), (1, slice(0, 30))])


def test_two_terms_that_nobody_placed_both_are_named(tmp_path):
    unplaced = [(slice(0, 16), 0), (slice(16, None), 1)]
    with pytest.raises(StudyError, match="'term00' and 'term01' were never placed by the same"):
        compare(tmp_path, CASES[0], unplaced=unplaced)


def test_people_drawn_for_tests_are_told_where_not_all_are_in_them():
    sample = {"drawn": {"makers": 500, "panel": 500}, "of": {"makers": 9000, "panel": 1000}}
    assert people_drawn(sample) == "Tests of people are of 1,000, drawn from 10,000."
