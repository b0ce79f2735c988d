"""The word `withdraw`: somebody is taken out everywhere, and what still holds them is said."""

import io
import json
import zipfile

import pytest
from felloe.collecting.gathering import removal
from felloe.collecting.spreadsheet.reading import read_spreadsheet
from felloe.collecting.spreadsheet.writing import kit_workbook
from kit_example import asked_of
from openpyxl import Workbook, load_workbook
from return_examples import (
    PEOPLE,
    TALLY,
    answer,
    colour_answer,
    copied_text,
    put,
    put_tally,
    tally_rows,
)
from study_folder import bytes_of
from tables_as_text import read_texts
from typed_words import fill_disk, gather, withdraw

GONE, STAYS = "p2", "p3"
TABLES = ("sorts", "participants", "pile_words", "colours", "design", "invitations")


@pytest.fixture
def folder(folder):
    """A gathered study with returns of all kinds and a kit; `GONE` is in every file."""
    put(folder, "one.json", answer(GONE, minutes=3))
    assert gather() == 0
    for person in PEOPLE:
        if person not in (GONE, "p5"):
            put(folder, f"deep/{person}.json", answer(person, minutes=4))
        put(folder, f"c-{person}.json", colour_answer(person, {"dill": "#00aa11"}))
    rows = tally_rows("p5", "111222")
    put_tally(folder, "tally.csv", [TALLY, *rows])
    for person in PEOPLE:
        (folder / "kit" / person / f"brine-{person}.html").write_text(person)
    assert gather() == 0
    return folder


def test_the_example_holds_them_in_every_table_and_copy(folder):
    for name in TABLES:
        assert f"{GONE}" in (folder / f"{name}.csv").read_text(encoding="utf-8"), name
    assert GONE in (folder / "gathered" / "001-sorts.csv").read_text(encoding="utf-8")


def test_no_file_names_them_afterwards(folder):
    assert withdraw(GONE) == 0
    for path, data in bytes_of(folder).items():
        assert GONE.encode() not in data, path
        assert GONE not in str(path.relative_to(folder))


def test_others_keep_every_byte(folder):
    before = bytes_of(folder)
    withdraw(GONE)
    after = bytes_of(folder)
    for path, data in before.items():
        if path.suffix == ".csv" and path in after and path.name != "written.json":
            kept = [line for line in data.splitlines(True) if f"{GONE}".encode() not in line]
            assert after[path] == b"".join(kept), path
    for person in set(PEOPLE) - {GONE}:
        assert (folder / "kit" / person / f"brine-{person}.html").is_file()


def test_gathering_afterwards_changes_no_byte(folder):
    withdraw(GONE)
    before = bytes_of(folder)
    assert gather() == 0
    assert bytes_of(folder) == before


def test_typed_twice_is_harmless(folder, capsys):
    withdraw(GONE)
    before = bytes_of(folder)
    assert withdraw(GONE) == 0
    assert bytes_of(folder) == before
    assert "Nothing of theirs is left" in capsys.readouterr().out


@pytest.mark.parametrize("person", ["p99", "P2", "../p2"])
def test_an_unknown_participant_is_refused(folder, capsys, person):
    before = bytes_of(folder)
    assert withdraw(person) == 1
    assert bytes_of(folder) == before
    assert "Traceback" not in capsys.readouterr().err


def test_a_late_return_of_theirs_is_refused(folder, capsys):
    withdraw(GONE)
    put(folder, "late.json", answer(GONE))
    assert gather() == 1
    assert "somebody who withdrew" in capsys.readouterr().err
    assert withdraw(GONE) == 0
    assert not (folder / "returns" / "late.json").exists()


def test_rows_of_a_tally_go_and_the_others_stay(folder):
    rows = [*tally_rows("p5", "111222"), *tally_rows(GONE, "121212", study="other")]
    path = put_tally(folder, "tally.csv", [TALLY, *rows])
    withdraw(GONE)
    assert {row["participant"] for row in read_texts(path)} == {"p5"}


def test_a_tally_of_theirs_alone_goes_whole(folder):
    path = put_tally(folder, "tally-2.csv", [TALLY, *tally_rows(GONE, "111222")])
    withdraw(GONE)
    assert not path.exists()


def test_a_damaged_return_that_is_named_for_them_goes_and_others_are_listed(folder, capsys):
    for name in (f"brine-{GONE}-sort (1).json", "damaged.json"):
        (folder / "returns" / name).write_bytes(b"{")
    withdraw(GONE)
    said = capsys.readouterr().out
    assert not (folder / "returns" / f"brine-{GONE}-sort (1).json").exists()
    assert "damaged.json" in said.split("Nobody can tell whose these are")[1]


def sheet_of(path, person, pile, study="brine"):
    """Write a spreadsheet of a kit with something in every cell for piles."""
    book = load_workbook(io.BytesIO(kit_workbook(asked_of(participant=person, study=study))))
    for row in book.worksheets[0].iter_rows():
        if row[0].value and str(row[0].value).isdigit():
            row[2].value = pile
    book.save(path)
    return path


def test_a_spreadsheet_is_theirs_by_what_it_says_though_no_answer_can_be_read(folder, capsys):
    returns = folder / "returns"
    theirs = sheet_of(returns / "scan 1.xlsx", GONE, "2026-01-01")
    others = sheet_of(returns / "scan 2.xlsx", STAYS, "2026-01-01")
    alien = sheet_of(returns / "scan 3.xlsx", GONE, "1", study="cider")
    assert read_spreadsheet(theirs)[0] == []
    withdraw(GONE)
    assert not theirs.exists()
    assert others.exists()
    assert alien.exists()
    assert "Nobody can tell" not in capsys.readouterr().out


def test_quotes_line_ends_and_blanks_of_a_table_stay_as_they_are(folder):
    path = folder / "invitations.csv"
    path.write_bytes(
        b'\xef\xbb\xbfparticipant;population\r\n"p0";panel\r\n\r\n" p2 ";panel\r\n"p3";"makers"\r\n'
    )
    withdraw(GONE)
    assert path.read_bytes() == (
        b'\xef\xbb\xbfparticipant;population\r\n"p0";panel\r\n\r\n"p3";"makers"\r\n'
    )


def test_a_spreadsheet_with_them_is_refused_before_anything_is_done(folder, capsys):
    book = Workbook()
    book.active.append(["term", "respondent", "colour"])
    book.active.append(["dill", GONE, "#001122"])
    book.save(folder / "old colours.xlsx")
    before = bytes_of(folder)
    assert withdraw(GONE) == 1
    assert bytes_of(folder) == before
    assert "spreadsheets are not rewritten" in capsys.readouterr().err


@pytest.mark.parametrize("after", range(9))
def test_whoever_is_interrupted_types_the_same_again(folder, monkeypatch, after):
    with monkeypatch.context() as patched:
        left = fill_disk(patched, removal, after)
        finished = withdraw(GONE) == 0
    assert finished == (left[0] >= 0)
    assert withdraw(GONE) == 0
    assert not [path for path, data in bytes_of(folder).items() if GONE.encode() in data]
    before = bytes_of(folder)
    assert gather() == 0
    assert bytes_of(folder) == before


def write_results(home, people):
    (home / "validation").mkdir(parents=True, exist_ok=True)
    (home / "report").mkdir(exist_ok=True)
    lines = "".join(f"{person},panel,\n" for person in people)
    (home / "validation" / "register.csv").write_text(f"participant,population,minutes\n{lines}")
    (home / "report" / "chart.json").write_text(json.dumps(sorted(people)))


def write_zip(path, home, with_people):
    path.parent.mkdir(exist_ok=True)
    with zipfile.ZipFile(path, "w") as archive:
        for each in sorted(home.rglob("*")):
            if each.is_file() and (with_people or "validation" not in each.parts):
                archive.write(each, f"top/{each}")


def test_results_and_archives_that_hold_them_are_said_until_they_are_made_again(
    folder, capsys, monkeypatch
):
    from pathlib import Path

    home = Path("results/brine")
    write_results(home, PEOPLE)
    (Path("results/editions/old--brine")).mkdir(parents=True)
    (Path("results/editions/old--other")).mkdir(parents=True)
    between = Path("results/editions/old--new")
    between.mkdir()
    manifest = '{"older": "old", "newer": "new", "timeline": ["old", "brine", "new"]}'
    (between / "manifest.json").write_text(manifest, encoding="utf-8")
    write_zip(Path("archives/brine.with-people.zip"), home, True)
    write_zip(Path("shared/brine.zip"), home, False)
    write_results(Path("results/cider"), PEOPLE)  # the same pseudonyms, other people
    write_zip(Path("shared/cider.zip"), Path("results/cider"), True)
    capsys.readouterr()
    withdraw(GONE)
    said = capsys.readouterr().out
    assert "results/brine: run the study again" in said
    assert "results/editions/old--brine: run the study again" in said
    assert "results/editions/old--new: run the study again" in said
    assert "old--other" not in said
    assert "cider" not in said
    assert "archives/brine.with-people.zip: names them" in said
    assert "shared/brine.zip: does not name them" in said
    write_results(home, set(PEOPLE) - {GONE})
    withdraw(GONE)
    said = capsys.readouterr().out
    assert "results/brine:" not in said
    assert "archives/brine.with-people.zip: names them" in said
    assert "shared/brine.zip: does not name them" in said
    write_zip(Path("archives/brine.with-people.zip"), home, True)
    write_zip(Path("shared/brine.zip"), home, False)
    withdraw(GONE)
    assert "No results or archives in this folder hold them" in capsys.readouterr().out


def test_a_file_of_theirs_that_is_no_answer_of_this_study_stays(folder):
    path = put(folder, "cider.json", answer(GONE, study="cider"))
    withdraw(GONE)
    assert path.exists()


@pytest.mark.parametrize(
    "typed", [["withdraw", "brine"], ["withdraw"], ["gather"], ["gather", "a", "b"]]
)
def test_a_wrong_number_of_words_is_told_with_the_usage(capsys, typed):
    from felloe.launching import launcher

    assert launcher.main(typed) == 2
    assert f"scripts/run {typed[0]} STUDY" in capsys.readouterr().err


def test_nothing_of_somebody_whose_id_begins_so_goes(folder):
    others = [f"{GONE}-sort", f"{GONE}-colours", f"{GONE}0"]
    kept = []
    for other in others:
        (folder / "kit" / other).mkdir()
        for name in (f"brine-{other}.html", f"brine-{other}.pdf"):
            (folder / "kit" / other / name).write_text("theirs")
            kept.append(folder / "kit" / other / name)
        kept.append(folder / "returns" / f"brine-{other}.txt")
        kept[-1].write_bytes(b"damaged")
    withdraw(GONE)
    assert all(path.is_file() for path in kept)


def test_a_table_that_nobody_else_is_in_goes(folder):
    for path in (folder / "returns").glob("c-*.json"):
        if GONE not in path.name:
            path.unlink()
    assert gather() == 0
    withdraw(GONE)
    assert not (folder / "colours.csv").exists()  # a header alone would stop the next run


def test_a_mail_with_the_answers_of_several_is_parted_first(folder, capsys):
    text = copied_text(answer(GONE)) + copied_text(answer(STAYS))
    (folder / "returns" / f"brine-{GONE}.txt").write_text(text, encoding="utf-8")
    before = bytes_of(folder)
    assert withdraw(GONE) == 1
    said = capsys.readouterr().err
    assert f"brine-{GONE}.txt: holds the answer of '{GONE}' beside others" in said
    assert bytes_of(folder) == before


def test_a_mail_with_two_answers_of_theirs_goes(folder):
    path = folder / "returns" / "mail.txt"
    later = answer(GONE, saved="2026-04-01T10:00:00Z")
    path.write_text(copied_text(answer(GONE)) + copied_text(later), encoding="utf-8")
    withdraw(GONE)
    assert not path.exists()


def test_copies_made_by_hand_are_named_and_what_was_half_written_goes(folder, capsys):
    attempt = folder / ".sorts2.csv.0123abcd.part"
    copies = [folder / "sorts.csv.bak", folder / "old" / "sorts.csv", folder / "notes.txt"]
    (folder / "old").mkdir()
    for path in (attempt, *copies):
        path.write_text(f"participant,term,pile\n{GONE},dill,1\n", encoding="utf-8")
    (folder / "notes.md").write_text(f"{GONE}0 and x{GONE} and {GONE}-a\n", encoding="utf-8")
    withdraw(GONE)
    named = capsys.readouterr().out.split("These name them too")[1]
    assert not attempt.exists()
    assert all(f"/{path.relative_to(folder)}\n" in named for path in copies)
    assert "notes.md" not in named


def test_what_a_link_leads_to_is_named(folder, capsys, tmp_path):
    there = tmp_path / "elsewhere.json"
    there.write_text(json.dumps(answer(GONE)), encoding="utf-8")
    (folder / "returns" / "link.json").symlink_to(there)
    withdraw(GONE)
    assert str(there) in capsys.readouterr().out.split("These name them too")[1]
    assert not (folder / "returns" / "link.json").is_symlink()
