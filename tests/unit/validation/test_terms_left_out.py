"""`left_out.csv`: a study with it is the study in which nobody said anything of these terms."""

import csv
import json

import numpy as np
import pytest
from felloe.ground.people.sorts import UNPLACED
from felloe.validation.intake.lexicon.left_out import WAY_OUT
from felloe.validation.intake.sorts.parts import in_parts
from felloe.validation.intake.study import read_study
from openpyxl import Workbook
from partial_example import example, write_partial_study
from study_folder import (
    LIMITS,
    PEOPLE,
    TERMS,
    canonical,
    faults_of,
    long_rows,
    pile_of,
    tables,
    wide_rows,
    write_folder,
    write_rows,
)

GONE = "smoke"
HEADER = ["term", "label", "reason"]
REASON = "the bakers do not know the word"
LEFT = {"left_out.csv": [HEADER, [GONE, "Smoke", REASON]]}
LABELS = [
    ["id", "tier", "language", "label"],
    [GONE, "term", "de", "Rauch"],
    ["dill", "term", "de", "Dill"],
]
PICKS = [*tables()["colours.csv"], [GONE, "r1", "#333333"]]
DESIGN = [row[:2] + row[3:] for row in long_rows()]


def without(rows, *columns):
    """Return the rows of a table that do not say the term in one of some columns."""
    places = [rows[0].index(name) for name in columns]
    return [row for row in rows if GONE not in [row[at] for at in places]]


def whole_tables(sorts):
    """Return tables that tell of all six terms, the lexicon of five."""
    kept = {
        "names.csv": tables()["names.csv"][:2],
        "terms.csv": without(tables()["terms.csv"], "term"),
    }
    return {
        **kept,
        "sorts.csv": sorts,
        "colours.csv": PICKS,
        "labels.csv": LABELS,
        "design.csv": DESIGN,
    }


def told_of(found):
    """Return what is written of a study, without the list of terms that are left out."""
    about = json.loads(found.pop("settings"))
    return found, about, about.pop("left_out", None)


@pytest.mark.parametrize("layout", ["long", "wide"])
def test_it_is_the_study_without_a_word_of_the_term(tmp_path, layout):
    sorts = long_rows() if layout == "long" else wide_rows()
    told = whole_tables(sorts)
    cut = without(sorts, "term") if layout == "long" else [row[:-1] for row in sorts]
    assert sorts[0][-1] == GONE or layout == "long"
    pruned = {
        "sorts.csv": cut,
        "colours.csv": without(PICKS, "term"),
        "labels.csv": without(LABELS, "id"),
        "design.csv": without(DESIGN, "term"),
    }
    plain = write_folder(tmp_path / "plain", {**told, **pruned}, layout)
    wanted, about, none = told_of(canonical(plain, tmp_path / "a"))
    assert none is None
    folder = write_folder(tmp_path / "left", {**told, **LEFT}, layout)
    assert told_of(canonical(folder, tmp_path / "b")) == (
        wanted,
        about,
        [{"term": GONE, "label": "Smoke", "reason": REASON}],
    )
    assert GONE.encode() not in b"".join(wanted.values())


def test_positions_keep_their_gaps_and_whole_sorts_stay_whole(tmp_path):
    folder = write_folder(tmp_path, {**whole_tables(long_rows()), **LEFT})
    assert not in_parts(folder)
    study = read_study(folder, LIMITS)
    assert study.shown is None
    place = {(row[0], row[1]): int(row[3]) for row in long_rows()[1:]}
    terms = sorted(set(TERMS) - {GONE})
    assert [row["term"] for row in study.terms] == terms
    wanted = [[place[person, term] for term in terms] for person in study.register.participants]
    assert study.positions.tolist() == wanted
    assert any(set(row) != {1, 2, 3, 4, 5} for row in wanted)
    (note,) = [note for note in study.findings if "not analysed" in note.problem]
    assert (note.file, note.severity) == ("left_out.csv", "note")
    assert not [note for note in study.findings if "did not place" in note.problem]


def test_sorts_in_parts_count_what_is_left_of_each_set(tmp_path):
    piles, shown = example()
    write_partial_study(tmp_path, piles, shown)
    with open(tmp_path / "terms.csv", encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    gone = rows[3][0]
    write_rows(tmp_path / "terms.csv", [row for row in rows if row[0] != gone])
    write_rows(tmp_path / "left_out.csv", [HEADER, [gone, "A word", "for the test"]])
    assert in_parts(tmp_path)
    study = read_study(tmp_path, LIMITS, most_unseen=1.0)
    at = sorted(row[0] for row in rows[1:]).index(gone)
    assert (study.shown == np.delete(shown, at, axis=1)).all()
    assert ((study.piles == UNPLACED) == ~study.shown).all()


@pytest.mark.parametrize("layout", ["long", "wide"])
def test_words_for_a_pile_go_with_the_last_of_its_terms(tmp_path, layout):
    # p3 puts the term alone into pile 9; p4's pile of it holds others too, or not
    changed = {
        "sorts.csv": [["participant", "term", "pile"]]
        + [
            [who, term, "9" if (who, term) == ("p3", GONE) else pile]
            for who, term, pile, _ in long_rows()[1:]
        ]
    }
    if layout == "wide":
        wide = [list(row) for row in wide_rows()]
        wide[1 + [*PEOPLE].index("p3")][-1] = "9"
        changed = {"sorts.csv": wide}
    own = pile_of("p3", "brine")
    words = [["participant", "pile", "words"], ["p3", "9", "campfire"], ["p3", own, "salt"]]
    told = {**whole_tables(None), **changed, "design.csv": None, "pile_words.csv": words}
    folder = write_folder(tmp_path / layout, {**told, **LEFT}, layout)
    assert [row["words"] for row in read_study(folder, LIMITS).pile_words] == ["salt"]
    write_rows(folder / "pile_words.csv", [*words, ["p3", "77", "nowhere"]])
    (fault,) = faults_of(folder)
    assert (fault.file, fault.line, fault.value) == ("pile_words.csv", 4, "77")


@pytest.mark.parametrize(
    ("rows", "line", "problem", "remedy"),
    [
        ([[GONE, "Smoke", "r"], ["dill", "Dill", "r"]], 3, "stands in terms.csv too", "Keep one"),
        ([[GONE, "Smoke", "r"], [GONE, "Smoke", "r"]], 3, "stands twice", "Keep one"),
        ([[GONE, "Smoke", ""]], 2, "is empty", "Fill"),
        ([[GONE, "", "r"]], 2, "is empty", "Fill"),
        ([["Smoke!", "Smoke", "r"], [GONE, "S", "r"]], 2, "is no identifier", "small letters"),
        ([], 0, "no rows", "delete the file"),
    ],
)
def test_what_is_wrong_with_the_list_is_told_with_its_line(tmp_path, rows, line, problem, remedy):
    told = {**whole_tables(long_rows()), "left_out.csv": [HEADER, *rows]}
    found = [
        each for each in faults_of(write_folder(tmp_path, told)) if each.file == "left_out.csv"
    ]
    (fault,) = found
    assert fault.line == line
    assert problem in fault.problem
    assert remedy in fault.remedy


def test_a_term_in_both_lists_is_one_fault_and_no_sort_is_missing(tmp_path):
    folder = write_folder(tmp_path, LEFT)
    assert [(each.file, each.line) for each in faults_of(folder)] == [("left_out.csv", 2)]


def test_a_reason_is_needed_and_further_columns_of_the_lexicon_are_ignored(tmp_path):
    head = tables()["terms.csv"][0]
    own = next(row for row in tables()["terms.csv"] if row[0] == GONE)
    told = whole_tables(long_rows())
    folder = write_folder(tmp_path, {**told, "left_out.csv": [head, own]})
    assert [(each.file, each.problem) for each in faults_of(folder)] == [
        ("left_out.csv", "the column is missing")
    ]
    write_rows(folder / "left_out.csv", [[*head, "reason"], [*own, REASON]])
    study = read_study(folder, LIMITS)
    assert study.left_out == [{"term": GONE, "label": "Smoke", "reason": REASON}]
    assert [note.problem for note in study.findings if "not read" in note.problem] == []


def test_as_a_spreadsheet_it_is_refused_by_name(tmp_path):
    folder = write_folder(tmp_path, whole_tables(long_rows()))
    Workbook().save(folder / "left_out.xlsx")
    assert "Save its sheet as left_out.csv." in {each.remedy for each in faults_of(folder)}


def test_a_term_that_one_population_did_not_place_has_a_way_out_that_works(tmp_path):
    sorts = [
        [who, term, "" if term == GONE and PEOPLE.get(who) == "makers" else pile, at]
        for who, term, pile, at in long_rows()
    ]
    folder = write_folder(tmp_path, {"sorts.csv": sorts, "names.csv": None, "design.csv": DESIGN})
    (fault,) = faults_of(folder)
    assert fault.problem == "nobody of 'makers' placed this term"
    assert fault.value == GONE
    assert WAY_OUT in fault.remedy
    write_rows(folder / "terms.csv", without(tables()["terms.csv"], "term"))
    write_rows(folder / "left_out.csv", LEFT["left_out.csv"])
    assert faults_of(folder) == ()
