"""Nobody stands outside validation/: a study of unmistakable people, every stream searched."""

import csv
import io
import json
import re
import shutil
from collections import Counter

import numpy as np
import pytest
from felloe.report.hand_off.workbook import write_workbook
from peering import files_in, hits, parts_of
from person_columns import drawn_people, person_columns, population_columns, rows_per_person
from unmistakable import (
    COMMON_WORD,
    OWN_WORD,
    PEOPLE,
    PICKERS,
    PILES,
    minutes,
    people_words,
    read,
)


@pytest.fixture(scope="module")
def here(unmistakable_run):
    return unmistakable_run


def results(here):
    """Yield every file of the results but those of the validation."""
    return files_in(here / "results" / "guild", ["validation"])


def test_the_people_are_in_the_validation(here):
    within = hits(files_in(here / "results" / "guild" / "validation"), people_words())
    found = set().union(*within.values())
    assert {who.lower() for who in (*PEOPLE, *PICKERS)} <= found
    assert minutes(5) in found
    assert PILES in (here / "guild" / "sorts.csv").read_text("utf-8")
    assert OWN_WORD in found


def test_a_word_that_everybody_used_is_told_without_saying_who(here):
    found = hits(results(here), [COMMON_WORD])
    assert {"tiers/word_candidates.csv", "report/ballot.html"} <= set(found)


def test_nobody_is_in_any_other_file(here):
    assert hits(results(here), people_words()) == {}


@pytest.mark.parametrize("where", ["shared", "archives"])
def test_nobody_is_in_what_is_passed_on(here, where):
    found = hits(files_in(here / where), people_words())
    assert {part for part in found if "/validation/" not in part} == set()
    assert where == "archives" or found == {}


def test_a_workbook_with_everybody_is_found_out(here, tmp_path):
    """The tester is tested: with the same code and one declaration undone, the test above fails."""
    copy = tmp_path / "guild"
    shutil.copytree(here / "results" / "guild", copy)
    from felloe.validation import tables

    undone = pytest.MonkeyPatch()
    for table in (tables.PARTICIPANTS, tables.PICKS):
        undone.setitem(table.__dict__, "personal", False)
    paths = sorted((copy / "validation").glob("*.csv"))
    write_workbook(copy / "report" / "tables.xlsx", paths, copy, "guild", 3)
    undone.undo()
    found = hits(files_in(copy, ["validation"]), people_words())
    assert set().union(*found.values()) >= {who.lower() for who in (*PEOPLE, *PICKERS)}
    assert all(part.startswith("report/tables.xlsx") for part in found)


def test_an_id_in_a_picture_within_the_page_is_found_out(here, tmp_path):
    import base64

    page = (here / "results" / "guild" / "report" / "report.html").read_text("utf-8")
    drawn = base64.b64encode(b"<svg><text>zebrafinch-07</text></svg>").decode()
    sabotaged = page.replace("</body>", f'<img src="data:image/svg+xml;base64,{drawn}"></body>')
    assert hits([("report.html", sabotaged.encode())], people_words())


def test_no_table_has_a_row_for_every_person(here):
    assert {name for name, _ in person_columns(here)} >= {"minutes", "pairs_together_share"}
    assert rows_per_person(results(here), here) == set()


def test_a_table_with_a_row_for_every_person_is_found_out(here):
    path = here / "results" / "guild" / "validation" / "participants.csv"
    _, *rows = read(path)
    nameless = [["x", *row[2:6]] for row in rows[::-1]]  # in another order, with no id
    key = ("pairs_together_share", len(rows))
    table = "\n".join(map(",".join, nameless))
    cells = "".join(f"<tr><td>x</td><td>{row[4]}</td></tr>" for row in nameless)
    record = json.dumps({"a": [{"b": float(row[4])} for row in nameless]})
    for name, text in (("a.csv", table), ("a.html", cells), ("a.json", record)):
        assert (name, key) in rows_per_person([(name, text.encode())], here)


def test_no_colour_is_told_that_fewer_than_three_people_picked(here):
    picked = Counter(colour for _, _, colour in read(here / "guild" / "colours.csv")[1:])
    few = [colour for colour, n in picked.items() if n < 3]
    assert len(few) > 10
    assert hits(results(here), few) == {}


def drawings(here):
    """Yield every drawing of the results, those within pages too."""
    for name, data in results(here):
        for part, content in parts_of(name, data):
            if b"<svg" in content[:2000] and not part.endswith(".html"):
                yield part, content.decode("utf-8")


def test_no_figure_has_a_mark_for_every_person(here):
    seen = dict(drawings(here))
    assert "figures/granularity.svg" in seen
    assert any(part.startswith("report/report.html!") for part in seen)
    assert [part for part, drawing in seen.items() if drawn_people(drawing, here)] == []


def test_a_figure_with_a_dot_for_everybody_is_found_out(here):
    from felloe.ground.drawing import figure

    values = population_columns(here)["pairs_together_share", ("makers",)]
    fig = figure(100, 60)
    axes = fig.subplots()
    axes.scatter(values, np.arange(len(values)) % 3)
    stream = io.StringIO()
    fig.savefig(stream, format="svg")
    assert "pairs_together_share" in drawn_people(stream.getvalue(), here)


def test_how_many_were_received_is_nowhere_where_a_few_were_lost(here):
    with open(here / "results/guild/validation/flow.csv", encoding="utf-8") as stream:
        lost = [int(row["lost"]) for row in csv.DictReader(stream)]
    assert max(lost) in (1, 2)  # one of each population
    page = (here / "results" / "guild" / "report" / "report.html").read_text("utf-8")
    words = " ".join(re.sub("<.*?>", " ", page).split())
    assert "17 participants analysed;" in words
    assert "19 received" not in words
    with open(here / "results/guild/sensitivity/universes.csv", encoding="utf-8") as stream:
        told = {row["n_participants"] for row in csv.DictReader(stream)}
    assert told == {"17", ""}
