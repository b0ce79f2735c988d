"""What a reader sees: one screen for either command, and the page of two runs."""

import re

import pytest
from audit_example import HEAD, PUBLISHED, ROWS, second_state, with_sums, write_run
from felloe.audit import chart_words
from felloe.audit.chart_changes import Move
from felloe.audit.comparison import compare_folders
from felloe.audit.page import page_of_runs
from felloe.audit.screen import fair_share, fitted, screen_of_runs, screen_of_verify
from felloe.errors import SCREEN_LINES

SECRET = "p-4711"
MOVED = HEAD + ROWS.replace("garlic,garlic,garlic,Bite,Bite", "garlic,dill,dill,Herbs,Herbs")


@pytest.fixture
def tampered(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    table = was / PUBLISHED
    table.write_text(table.read_text().replace("0.9,firm", "0.99,firm"))
    return compare_folders(was, now)


@pytest.fixture
def swapped(tmp_path):
    files = {**second_state("distances", "figure", "report"), PUBLISHED: MOVED}
    now = write_run(tmp_path / "b", files, linkage="complete")
    return compare_folders(write_run(tmp_path / "a"), now)


def test_the_same_results_take_two_lines(tmp_path):
    same = compare_folders(*(with_sums(write_run(tmp_path / run)) for run in ("a", "b")))
    assert screen_of_verify([same]).splitlines() == [
        "Reproduced: 1 folder of results, every file of every manifest is the same.",
        "jars: all 7 files are the same.",
    ]
    assert screen_of_runs([same]).splitlines() == [
        "No difference: 1 folder of results.",
        "jars: all 7 files are the same.",
    ]


def test_verify_names_the_cell_and_what_became_of_the_file(tampered):
    text = screen_of_verify([tampered])
    assert text.startswith("Not reproduced: 1 of 1 folder of results.")
    assert "dill, home_probability: 0.99 -> 0.9 (-0.09)" in text
    assert f"{PUBLISHED} in the results is no longer what its run made (1 file)" in text


def test_runs_are_told_by_their_settings_and_what_follows(swapped):
    lines = [line.strip() for line in screen_of_runs([swapped]).splitlines()]
    assert "setting clustering.linkage: average -> complete (4 files)" in lines
    assert "1 term changes class: garlic (Bite -> Herbs)" in lines
    assert "number of classes: 2 -> 1" in lines


def test_a_screen_stays_one_screen_however_much_differs(tmp_path):
    rows = [
        f"t{number},t{number},t{number},C{number},S{number},0.5,firm,no\n" for number in range(300)
    ]
    files = {
        PUBLISHED: HEAD + "".join(rows),
        **{f"tiers/more{n}.csv": "a,b\n1,2\n" for n in range(90)},
    }
    other = {path: text.replace("0.5", "0.6").replace("1,2", "1,3") for path, text in files.items()}
    found = compare_folders(write_run(tmp_path / "a", files), write_run(tmp_path / "b", other))
    for many in (1, 2, 30, 80):
        for text in (screen_of_verify([found] * many), screen_of_runs([found] * many)):
            assert len(text.splitlines()) <= SCREEN_LINES
            assert "more lines" in text or many < 30
            assert max(map(len, text.splitlines())) <= 118
    one = compare_folders(write_run(tmp_path / "c", {PUBLISHED: files[PUBLISHED]}), tmp_path / "d")
    assert len(screen_of_verify([one]).splitlines()) <= SCREEN_LINES


def test_cells_that_are_not_shown_are_counted(tmp_path):
    text = HEAD + "".join(f"t{n},t0,t0,C,S,0.5,firm,no\n" for n in range(300))
    was = write_run(tmp_path / "a", {PUBLISHED: text})
    now = write_run(tmp_path / "b", {PUBLISHED: text.replace("0.5", "0.6")})
    told = screen_of_verify([compare_folders(was, now)])
    assert f"{PUBLISHED}: 300 cells differ" in told
    assert "... and 294 more" in told


@pytest.mark.parametrize(
    ("lengths", "room", "most"),
    [([3, 100, 100], 43, 20), ([1, 1], 50, 1), ([9, 9], 4, 2), ([], 5, 1)],
)
def test_short_blocks_stand_whole_and_long_ones_share(lengths, room, most):
    assert fair_share(lengths, room) == most


def test_what_is_cut_of_a_block_is_counted():
    block = ["head", *(f"line {number}" for number in range(9))]
    assert fitted(block, 4) == ["head", "line 0", "line 1", "  ... and 7 more lines"]
    assert fitted(block, 10) == block


def test_names_that_do_not_fit_are_counted():
    names = ["aaaa", "bbbb", "cccc", "dddd"]
    assert chart_words.fitting("x", names, 100) == ["x: aaaa, bbbb, cccc, dddd"]
    assert chart_words.fitting("x", names, 20) == ["x: aaaa and 3 more"]
    assert chart_words.fitting("x", names, 14, most=2) == ["x: aaaa, bbbb,", "  cccc, dddd"]


def test_groups_of_one_name_are_not_shown_as_one(tmp_path):
    move = Move("class", "dill", "dill", "Faults", "Faults")
    assert chart_words.place(move) == "Faults -> another group of that name"


def test_the_page_tells_settings_terms_files_and_cells(swapped):
    page = page_of_runs([swapped], ("spring", "summer"))
    assert "setting clustering.linkage: average -&gt; complete" in page
    assert "Bite -&gt; Herbs" in page
    for path in ("clustering/distances.csv", "figures/wheel.svg", "report/report.html"):
        assert path in page
    assert "made by draw, which read other tiers/published.csv" in page
    assert "spring" in page
    assert "summer" in page


def test_the_page_needs_no_other_file_and_names_no_place(swapped, tmp_path):
    page = page_of_runs([swapped])
    assert str(tmp_path) not in page
    assert not re.search(r"(src|href)=\"(?!#|data:)", page)
    assert "default-src 'none'" in page


def test_the_page_is_the_same_each_time(swapped):
    assert page_of_runs([swapped]) == page_of_runs([swapped])


def test_the_page_shows_nothing_about_single_people(tmp_path):
    sorts = f"participant,term,pile\n{SECRET},dill,1\n"
    files = {
        "validation/sorts.csv": sorts,
        "validation/new.json": f'{{"{SECRET}": 1}}',
        "validation/new.csv": f"term,{SECRET}\ndill,1\n",
    }
    other = {
        "validation/sorts.csv": sorts.replace(",1", ",2"),
        "validation/new.json": "{}",
        "validation/new.csv": "term\ndill\n",
    }
    found = compare_folders(write_run(tmp_path / "a", files), write_run(tmp_path / "b", other))
    assert found.table("validation/sorts.csv").cells[0].row[0] == SECRET
    page = page_of_runs([found])
    assert SECRET not in page
    assert "1 cell differs" in page


def test_the_page_shows_text_of_files_as_text(tmp_path):
    bad = {PUBLISHED: (HEAD + ROWS).replace("Herbs", "<script>alert(1)</script>")}
    found = compare_folders(write_run(tmp_path / "a"), write_run(tmp_path / "b", bad))
    assert "<script" not in page_of_runs([found])


def test_damage_is_told_on_screen_and_page(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    (now / PUBLISHED).write_text("term,class\ndill\n")
    (now / "manifest.json").write_text("{")
    found = compare_folders(was, now)
    told = "not compared inside: in B it has a fault (line 2 has 1 cells, the header 2)"
    assert told in screen_of_verify([found], ("A", "B"))
    assert told in page_of_runs([found])
    assert "manifest.json cannot be read in B" in screen_of_runs([found])


def test_a_pair_of_editions_without_records_is_told(tmp_path):
    for run in ("a", "b"):
        (tmp_path / run / "x--y").mkdir(parents=True)
        (tmp_path / run / "x--y/terms.csv").write_text(f"term,change\ndill,{run}\n")
    found = compare_folders(tmp_path / "a/x--y", tmp_path / "b/x--y")
    assert "no ledger in A and in B" in screen_of_runs([found])
    assert "x--y" in page_of_runs([found])
