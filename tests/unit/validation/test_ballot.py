"""A filled-in `ballot.xlsx`: what is read, what is refused, and that nothing changes in silence."""

import datetime
import random
import shutil

import pytest
from ballot_filling import DAY, FILLED, choose, header, opened_ballot, option, put, row_of
from felloe.errors import StudyError
from felloe.validation.ballot_form import ABOUT, BALLOT, CHOICES, HEAD, SHEET, writes_nothing
from felloe.validation.intake.study import read_study
from small_study import STUDY
from study_folder import LIMITS, write_rows

ELM = ("sensitive", "elm")
SERIAL = (datetime.date(2031, 5, 6) - datetime.date(1899, 12, 30)).days  # as ECMA-376 counts days


@pytest.fixture
def folder(small_results, tmp_path):
    """The small study's own files."""
    return shutil.copytree(small_results.parents[1] / STUDY, tmp_path / STUDY)


@pytest.fixture
def ballot(small_results):
    return opened_ballot(small_results / "report" / BALLOT)


def read(folder, book=None, name=STUDY):
    if book is not None:
        book.save(folder / BALLOT)
    return read_study(folder, LIMITS, name=name)


def faults(folder, book, name=STUDY):
    with pytest.raises(StudyError) as caught:
        read(folder, book, name)
    return caught.value.faults


def one_fault(folder, book, name=STUDY):
    (fault,) = faults(folder, book, name)
    assert fault.file.startswith(f"{folder.name}/") or fault.file.startswith(BALLOT)
    assert fault.remedy
    return fault


def decisions(study):
    return [
        (row["term"], row["beside"], row["reason"], row["decided_on"]) for row in study.decisions
    ]


def notes(study):
    return [note.problem for note in study.findings if note.file.startswith(BALLOT)]


def test_an_untouched_ballot_changes_nothing(folder, ballot):
    before = read(folder)
    after = read(folder, ballot[0])
    assert (after.decisions, after.names, after.labels) == (
        before.decisions, before.names, before.labels,
    )  # fmt: skip


@pytest.mark.parametrize(
    "day",
    [DAY, datetime.date(2031, 5, 6), datetime.datetime(2031, 5, 6), f" {DAY} ", SERIAL],
    ids=["text", "date", "date and time", "blanks", "number under the format of a day"],
)
def test_a_move_is_read_whatever_form_its_day_has(folder, ballot, day):
    book, lists = ballot
    row = row_of(book, *ELM)
    beside = choose(book, lists, row, "beside", decided_on=day).split()[1]
    found = read(folder, book)
    assert ("elm", beside, FILLED["reason"], DAY) in decisions(found)
    assert ("mace", "clove", "a matter of taste", "2031-02-03") in decisions(found)


def test_the_text_without_what_is_told_is_a_choice_too(folder, ballot):
    book, lists = ballot
    row = row_of(book, *ELM)
    text = choose(book, lists, row, "beside").split(" | ")[0]
    put(book, row, choice=text)
    assert ("elm", text.split()[1]) in [one[:2] for one in decisions(read(folder, book))]


def test_a_stay_is_held_by_a_word_beside_it(folder, ballot):
    book, lists = ballot
    choose(book, lists, row_of(book, *ELM), "stay")
    (found,) = [one for one in decisions(read(folder, book)) if one[0] == "elm"]
    assert found[1] in ("ash", "oak")


def test_a_stay_whose_word_moves_needs_no_row_and_says_so(folder, ballot):
    book, lists = ballot
    elm, ash, oak = (row_of(book, "sensitive", term) for term in ("elm", "ash", "oak"))
    beside = choose(book, lists, elm, "stay").split()[1]
    choose(book, lists, {"ash": ash, "oak": oak}[beside], "beside")
    found = read(folder, book)
    assert "elm" not in [one[0] for one in decisions(found)]
    assert any("'elm'" not in note and "stays" in note and beside in note for note in notes(found))


def test_two_words_that_stay_beside_one_another_are_held_by_one_row(folder, ballot):
    book, lists = ballot
    for term in ("ash", "elm", "oak"):
        choose(book, lists, row_of(book, "sensitive", term), "stay")
    found = [row for row in decisions(read(folder, book)) if row[0] != "mace"]
    assert 1 <= len(found) < 3
    assert {row[0] for row in found} <= {"ash", "elm", "oak"}


def test_names_are_read_with_reason_day_and_role(folder, ballot):
    book, lists = ballot
    choose(book, lists, row_of(book, "name", "clove", "class"), "other", name="Gewürz, ähnlich")
    choose(book, lists, row_of(book, "name", "ash", "subclass"), "name", absorbs="no")
    found = {(row["tier"], row["name"]): row for row in read(folder, book).names}
    row = found["class", "Gewürz, ähnlich"]
    assert (row["reason"], row["decided_on"], row["decided_by"]) == tuple(FILLED.values())
    assert found["subclass", "Elm"]["absorbs"] == "no"


def test_a_name_goes_by_another_word_where_its_own_moves(folder, ballot):
    # names.csv and labels.csv call the class by elm
    book, lists = ballot
    choose(book, lists, row_of(book, *ELM), "beside")
    found = read(folder, book)
    (trees,) = [row for row in found.names if row["name"] == "Trees"]
    assert trees["anchor"] in ("ash", "oak")
    (german,) = [row for row in found.labels if row["label"] == "Bäume"]
    assert german["id"] == trees["anchor"]
    assert sum("'Trees' went by 'elm'" in note for note in notes(found)) == 1


def test_what_stands_in_both_files_counts_once(folder, ballot):
    book, lists = ballot
    beside = choose(book, lists, row_of(book, *ELM), "beside").split()[1]
    rows = [["term", "beside", "reason", "decided_on", "decided_by"]]
    write_rows(folder / "decisions.csv", [*rows, ["elm", beside, *FILLED.values()]])
    assert decisions(read(folder, book)) == [("elm", beside, FILLED["reason"], DAY)]


@pytest.mark.parametrize(
    "changed", [("beet", *FILLED.values()), (None, "for another reason", DAY, FILLED["decided_by"])]
)
def test_what_the_files_say_differently_is_refused(folder, ballot, changed):
    book, lists = ballot
    row = row_of(book, *ELM)
    beside = choose(book, lists, row, "beside").split()[1]
    other = [changed[0] or beside, *changed[1:]]
    if changed[0] == beside:
        other[0] = "kale"
    header_row = ["term", "beside", "reason", "decided_on", "decided_by"]
    write_rows(folder / "decisions.csv", [header_row, ["elm", *other]])
    fault = one_fault(folder, book)
    assert fault.line == row
    assert "decisions.csv" in fault.problem


@pytest.mark.parametrize(
    ("change", "column"),
    [
        ({"reason": None}, "reason"),
        ({"reason": "   "}, "reason"),
        ({"decided_on": None}, "decided_on"),
        ({"decided_on": "6.5.2031"}, "decided_on"),
        ({"decided_on": "2031-02-30"}, "decided_on"),
        ({"decided_on": datetime.datetime(2031, 5, 6, 13, 5)}, "decided_on"),
        ({"choice": None}, "choice"),
        ({"choice": "beside nothing-like-it"}, "choice"),
        ({"choice": "perhaps"}, "choice"),
        ({"choice": "=1+1"}, "choice"),
        ({"choice": True}, "choice"),
        ({"name": "Trees"}, "name"),
        ({"absorbs": "yes"}, "absorbs"),
        ({"absorbs": "ja"}, "absorbs"),
        ({"reason": "hidden \u202e order"}, "reason"),
        ({"decided_by": "x" * 5000}, "decided_by"),
        ({"subject": "oak"}, "check"),
        ({"kind": "void"}, "check"),
        ({"stands_in": None}, "check"),
        ({"check": "0" * 12}, "check"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_row_is_told_with_its_place(folder, ballot, change, column):
    book, lists = ballot
    row = row_of(book, *ELM)
    choose(book, lists, row, "beside")
    put(book, row, **change)
    found = faults(folder, book)
    assert {(fault.line, fault.column) for fault in found} == {(row, column)}
    assert all(f"sheet '{SHEET}'" in fault.file and fault.remedy for fault in found)


@pytest.mark.parametrize("filled", ["reason", "decided_on", "decided_by", "name"])
def test_a_half_filled_row_is_refused(folder, ballot, filled):
    book, _ = ballot
    row = row_of(book, "name", "clove", "class")
    put(book, row, **{filled: FILLED.get(filled, "Spices")})
    fault = one_fault(folder, book)
    assert (fault.line, fault.column) == (row, "choice")


def test_a_name_that_is_chosen_and_not_given_is_refused(folder, ballot):
    book, lists = ballot
    row = row_of(book, "name", "clove", "class")
    choose(book, lists, row, "other")
    assert one_fault(folder, book).column == "name"


def test_a_name_that_stands_already_is_refused(folder, ballot):
    book, lists = ballot
    choose(book, lists, row_of(book, "name", "clove", "class"), "other", name="Trees")
    assert "already" in one_fault(folder, book).problem


def test_open_with_a_reason_is_open(folder, ballot):
    book, lists = ballot
    choose(book, lists, row_of(book, *ELM), "open")
    assert read(folder, book).decisions == read(folder).decisions


@pytest.mark.parametrize(
    ("name", "value"), [("study", "another"), ("edition", "1999"), ("format", "felloe-ballot/9")]
)
def test_the_ballot_of_something_else_is_refused_by_name(folder, ballot, name, value):
    book, lists = ballot
    choose(book, lists, row_of(book, *ELM), "beside")
    for cells in book[ABOUT].iter_rows():
        if cells[0].value == name:
            cells[1].value = value
    fault = one_fault(folder, book)
    assert (fault.column, fault.value) == (name, value)
    assert "report/ballot.xlsx" in fault.remedy


def test_the_ballot_of_an_older_chart_is_read_and_it_is_said(folder, ballot):
    book, lists = ballot
    beside = choose(book, lists, row_of(book, *ELM), "beside").split()[1]
    assert not any("older chart" in note for note in notes(read(folder, book)))
    text = (folder / "sorts.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    first = text[1].split(",")
    text[1] = ",".join([*first[:2], "9", *first[3:]])
    (folder / "sorts.csv").write_text("".join(text), encoding="utf-8")
    found = read(folder, book)
    assert ("elm", beside) in [one[:2] for one in decisions(found)]
    assert any("older chart" in note for note in notes(found))


def test_the_hash_of_the_sorts_knows_no_person(folder):
    before = read(folder).sorts_sha256
    for name in ("participants.csv", "sorts.csv"):
        text = (folder / name).read_text(encoding="utf-8")
        (folder / name).write_text(text.replace("somebody-", "zz-"), encoding="utf-8")
    assert read(folder).sorts_sha256 == before


@pytest.mark.parametrize("sheet", [SHEET, ABOUT, CHOICES])
def test_a_workbook_without_its_sheets_is_no_ballot(folder, ballot, sheet):
    book, _ = ballot
    del book[sheet]
    assert "no ballot" in one_fault(folder, book).problem


@pytest.mark.parametrize("content", [b"", b"no workbook", b"PK\x03\x04 broken"])
def test_a_file_that_is_no_workbook_is_told(folder, content):
    (folder / BALLOT).write_bytes(content)
    assert "opened" in one_fault(folder, None).problem


def test_what_hides_a_row_is_refused(folder, ballot):
    book, lists = ballot
    row = row_of(book, *ELM)
    choose(book, lists, row, "beside")
    book[SHEET].row_dimensions[row].hidden = True
    assert "hidden" in one_fault(folder, book).problem


def test_only_columns_that_nobody_fills_in_may_be_hidden(folder, ballot):
    book, _ = ballot
    shown = header(book).index("reason")
    assert any(one.hidden for one in book[SHEET].column_dimensions.values())
    read(folder, book)
    book[SHEET].column_dimensions["ABCDEFGHIJ"[shown]].hidden = True
    assert "hidden" in one_fault(folder, book).problem


@pytest.mark.parametrize("heads", ["names", "another language"])
def test_columns_are_known_by_their_names_and_by_what_about_calls_them(folder, ballot, heads):
    book, lists = ballot
    beside = choose(book, lists, row_of(book, *ELM), "beside", decided_on=SERIAL).split()[1]
    names = header(book)
    for at, name in enumerate(names, 1):
        book[SHEET].cell(1, at).value = name if heads == "names" else f"Spalte {name}"
    for cells in book[ABOUT].iter_rows():
        if str(cells[0].value).startswith(HEAD):
            cells[1].value = f"Spalte {cells[0].value.removeprefix(HEAD)}"
            if heads == "names":
                cells[0].value = cells[1].value = None
    assert ("elm", beside) in [one[:2] for one in decisions(read(folder, book))]


@pytest.mark.parametrize(
    ("code", "term", "kind", "nothing"),
    [
        ("keep", "", "class", True),
        ("keep", "oak", "void", True),
        ("stay", "", "term", True),
        ("stay", "oak", "term", False),
        ("beside", "oak", "term", False),
        ("drop", "oak", "void", False),
        ("name", "oak", "name", False),
    ],
)
def test_a_reason_is_asked_where_something_is_written(code, term, kind, nothing):
    assert writes_nothing(code, term, kind) == nothing


def test_a_sorted_or_shortened_ballot_says_the_same(folder, ballot):
    book, lists = ballot
    row = row_of(book, *ELM)
    beside = choose(book, lists, row, "beside").split()[1]
    sheet = book[SHEET]
    rows = [[cell.value for cell in cells] for cells in sheet.iter_rows(min_row=2)]
    sheet.delete_rows(2, len(rows))
    for cells in reversed(rows[:6]):
        sheet.append(cells)
    assert ("elm", beside) in [one[:2] for one in decisions(read(folder, book))]


CELLS = [
    None, "", "  ", "open", "stay", "beside elm", "beside ash | Trees", "name clove", "other clove",
    "drop", "keep", "elm", "oak", "class", "subclass", "yes", "no", 0, 1, 5, -3, 2.5, True, False,
    "=A1", "#REF!", datetime.date(2031, 1, 2), datetime.datetime(2031, 1, 2, 3, 4), 1e300, "a\nb",
    datetime.time(3, 4), "2031-13-01", "2031-01-02", "\u202ex", "x" * 600, "'=1", "<b>", "ä",
    "a,b", 'a"b', "class=ash subclass=",
]  # fmt: skip


@pytest.mark.parametrize("seed", range(240))
def test_a_mutated_ballot_is_refused_or_says_what_its_cells_say(folder, ballot, seed):
    chance = random.Random(seed)
    book, lists = ballot
    for row in range(2, book[SHEET].max_row + 1):
        if chance.random() < 0.5:
            code = chance.choice(lists[book[SHEET].cell(row, 1).value]).split(" ")[0]
            name = f"Name {row}" if code == "other" else None
            choose(book, lists, row, code, name=name)
    sheet = book[chance.choice([SHEET, SHEET, SHEET, CHOICES, ABOUT])]
    for _ in range(chance.choice([1, 1, 2, 4])):
        where = sheet.cell(chance.randint(1, sheet.max_row), chance.randint(1, sheet.max_column))
        where.value = chance.choice(CELLS)
    found = refused_or_read(folder, book)
    if found is None:
        return
    now = said(book)
    decided = {row["term"]: row["beside"] for row in found.decisions if row["from_ballot"] == "yes"}
    assert {term: now["decisions"].get(term) for term in decided} == decided
    # a stay whose word moves is all that may be missing
    stays = {term for term, code in now["codes"].items() if code == "stay"}
    assert set(now["decisions"]) - set(decided) <= stays
    assert {row["name"] for row in found.names if row["from_ballot"] == "yes"} == now["names"]


def refused_or_read(folder, book):
    """Return the study, or None where it was refused in words."""
    try:
        return read(folder, book)
    except StudyError as error:
        told = error
    assert told.faults
    assert all(fault.problem and fault.remedy for fault in told.faults)
    return None


def said(book):
    """Return what the cells of a ballot say, read without the intake."""
    names, found = header(book), {"decisions": {}, "names": set(), "codes": {}}
    for cells in book[SHEET].iter_rows(min_row=2, values_only=True):
        row = dict(zip(names, cells, strict=False))
        code, _, rest = str(row.get("choice") or "").strip().partition(" ")
        if code in ("beside", "within", "stay") and rest:
            found["decisions"][row["subject"]] = rest.split(" ")[0]
            found["codes"][row["subject"]] = code
        elif code in ("name", "other"):
            found["names"].add(str(row["name"] or row["proposal"]).strip())
    return found


def test_the_first_choice_of_every_row_can_be_found(ballot):
    book, lists = ballot
    for row in range(2, book[SHEET].max_row + 1):
        assert option(book, lists, row, "open")
