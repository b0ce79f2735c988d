"""Nobody stands outside validation/ where everybody was shown some terms: all streams searched."""

import csv
import json
import re
import zipfile

import pytest
from page_reader import Reader
from peering import files_in, hits
from person_columns import drawn_people, rows_per_person
from small_study import SETTINGS
from unmistakable import ABSENT, PEOPLE, PICKERS, PLACES, people_words, write_unmistakable_parts
from workflow.conftest import run_felloe
from workflow.test_nobody import drawings


@pytest.fixture(scope="module")
def here(tmp_path_factory):
    """A folder in which such a study was run, shared and archived."""
    folder = tmp_path_factory.mktemp("nobody in parts") / "a folder"
    write_unmistakable_parts(folder / "guild")
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    for words in ((), ("share", "guild"), ("archive", "guild", "--without-people")):
        done = run_felloe(*words, *PLACES, cwd=folder)
        assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-4000:]
    return folder


def results(here):
    return files_in(here / "results" / "guild", ["validation"])


def rows(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def page(here):
    return Reader((here / "results/guild/report/report.html").read_text(encoding="utf-8")).text


def test_who_was_shown_what_is_in_the_validation(here):
    seen = {row["participant"] for row in rows(here / "results/guild/validation/design.csv")}
    assert seen == set(PEOPLE)
    assert ABSENT in (here / "guild" / "design.csv").read_text(encoding="utf-8")


def test_nobody_is_in_any_other_file(here):
    assert hits(results(here), people_words()) == {}
    assert rows_per_person(results(here), here) == set()
    assert [part for part, drawing in drawings(here) if drawn_people(drawing, here)] == []


@pytest.mark.parametrize("where", ["shared", "archives"])
def test_nobody_is_in_what_is_passed_on(here, where):
    found = hits(files_in(here / where), people_words())
    assert {part for part in found if "/validation/" not in part} == set()
    assert where == "archives" or found == {}


def test_an_archive_without_people_holds_no_design_and_says_what_the_counts_tell(here):
    with zipfile.ZipFile(here / "archives" / "guild.without-people.zip") as box:
        names = {name.split("/", 1)[1] for name in box.namelist()}
        told = box.read("guild.without-people/HOW-TO-RERUN.txt").decode()
    assert not [name for name in names if re.search(r"guild/(validation/)?design\.", name)]
    assert "matrices/pooled.both.csv" in " ".join(names)
    assert "whole sorts can be worked out from the counts" in " ".join(told.split())


def test_a_set_of_a_size_of_its_own_is_not_told(here):
    # one of nineteen people was shown six terms, all others nine
    record = json.loads((here / "results/guild/validation/study.json").read_text("utf-8"))
    assert record["terms_per_participant"] == {
        "least": 9, "median": 9.0, "largest": 9, "but_a_few": True}  # fmt: skip
    assert "All but a few participants were shown 9 of the 12 terms" in page(here)


def test_the_page_points_at_no_line_of_the_design_and_counts_no_few(here):
    told = [line for line in page(here).splitlines() if "design.csv" in line]
    assert told
    assert "some of the people in it are not in participants.csv" in page(here)
    assert "1 of the people in it" not in page(here)
    assert "177 row(s)" not in page(here)


def test_the_report_says_that_counts_of_sorts_in_parts_are_handed_on_with_care(here):
    assert "whole sorts can be worked out from the counts, though not whose" in page(here)


def test_piles_are_compared_at_equal_numbers(here):
    kept = [row for row in rows(here / "results/guild/validation/participants.csv")
            if row["status"] == "kept"]  # fmt: skip
    made = sum(float(row["n_piles"]) for row in kept) / len(kept)
    told = {(row["population"], row["measure"]): row
            for row in rows(here / "results/guild/validation/granularity.csv")}  # fmt: skip
    assert float(told["pooled", "n_piles"]["mean"]) < made  # of six terms, not of nine
    drawing = (here / "results/guild/figures/granularity.svg").read_text(encoding="utf-8")
    assert "of 12 terms" not in drawing
    assert set(PICKERS).isdisjoint(drawing.split())
