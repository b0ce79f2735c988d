"""The word `kit`: files for everybody invited, frozen orders, and what it refuses."""

import json
import shutil

import pytest
from felloe.collecting.spreadsheet.reading import read_spreadsheet
from felloe.launching import launcher
from felloe.launching.collecting_words.kit import main
from kit_example import GERMAN, INVITED, SETTINGS, design, edit, invite
from openpyxl import load_workbook
from study_folder import TERMS, bytes_of, long_rows, write_rows
from typed_words import kit, refusal, typed, withdraw

ENDS = ("html", "pdf", "xlsx")


def test_everybody_gets_three_files_and_an_order(here, capsys):
    assert kit() == 0
    for person in ("p1", "m1"):
        names = {path.name for path in (here / "asked" / "kit" / person).iterdir()}
        assert names == {"issued.json", *(f"brine-{person}.{end}" for end in ENDS)}
        own = [row for row in design(here) if row["participant"] == person]
        assert [row["position"] for row in own] == [str(n + 1) for n in range(len(TERMS))]
        assert sorted(row["term"] for row in own) == sorted(TERMS)
    said = capsys.readouterr().out
    assert "2 people, all 6 terms each" in said
    assert "would refuse" not in said
    for caution in ("Ethics review", "Pseudonyms only", "not confidential", "as good as unique"):
        assert caution in said


def test_the_files_show_the_order_of_the_design(here):
    kit()
    for person in ("p1", "m1"):
        order = [row["term"] for row in design(here) if row["participant"] == person]
        sheet = load_workbook(here / f"asked/kit/{person}/brine-{person}.xlsx")["cards"]
        assert [row[4].value for row in sheet.iter_rows(min_row=4)] == order
        page = (here / f"asked/kit/{person}/brine-{person}.html").read_text(encoding="utf-8")
        places = [page.index(f'"{term.title()}"') for term in order]
        assert places == sorted(places)


def test_typed_twice_it_changes_no_byte(here, capsys):
    kit()
    kit("--colours")
    before = bytes_of(here)
    times = {path: path.stat().st_mtime_ns for path in before}
    assert (kit(), kit("--colours"), kit("--again"), kit("--colours", "--again")) == (0, 0, 0, 0)
    assert {path: path.stat().st_mtime_ns for path in before} == times
    assert bytes_of(here) == before
    assert "Left as they were given, to the last byte: 2 people" in capsys.readouterr().out


def test_made_anew_from_the_same_files_it_has_the_same_bytes(here):
    kit()
    kit("--colours")
    before = bytes_of(here)
    shutil.rmtree(here / "asked" / "kit")
    (here / "asked" / "design.csv").unlink()
    write_rows(here / "asked" / "invitations.csv", [INVITED[0], *INVITED[:0:-1]])
    kit()
    kit("--colours")
    after = bytes_of(here)
    changed = {path.name for path in before if before[path] != after[path]}
    assert changed == {"invitations.csv"}


def test_who_comes_late_is_added_and_nobody_else_is_touched(here, capsys):
    kit()
    before = bytes_of(here)
    invite(here, ["p9", "panel", ""])
    capsys.readouterr()
    assert kit() == 0
    after = bytes_of(here)
    for path, data in before.items():
        if path.name == "design.csv":
            assert after[path].startswith(data)
        elif path.name != "invitations.csv":
            assert after[path] == data
    assert (here / "asked/kit/p9/brine-p9.pdf").is_file()
    assert "New in asked/kit: 1 person (p9)." in capsys.readouterr().out


def test_another_seed_draws_another_order_but_not_for_whom_it_was_issued(here):
    kit()
    before = bytes_of(here)
    (here / "mine.yaml").write_text(f"{SETTINGS}seed: 8\n", encoding="utf-8")
    assert kit() == 0
    before[here / "mine.yaml"] = (here / "mine.yaml").read_bytes()
    assert bytes_of(here) == before
    shutil.rmtree(here / "asked" / "kit")
    rows = design(here)
    (here / "asked" / "design.csv").unlink()
    kit()
    assert design(here) != rows


def test_the_frozen_order_is_read_by_its_positions(here):
    orders = {"p1": TERMS[::-1], "m1": [*TERMS[2:], *TERMS[:2]]}
    rows = [
        [person, term, str(place)]
        for person, order in orders.items()
        for place, term in enumerate(order, 1)
    ]
    write_rows(here / "asked/design.csv", [["participant", "term", "position"], *sorted(rows)])
    before = (here / "asked/design.csv").read_bytes()
    assert kit() == 0
    assert (here / "asked/design.csv").read_bytes() == before
    for person, order in orders.items():
        sheet = load_workbook(here / f"asked/kit/{person}/brine-{person}.xlsx")["cards"]
        assert [row[4].value for row in sheet.iter_rows(min_row=4)] == list(order)


@pytest.mark.parametrize("places", [["", "1", "2"], ["2", "3", "4"], ["1", "2", "4"]])
def test_a_design_that_does_not_number_the_cards_is_refused(here, capsys, places):
    rows = [["p1", term, place] for term, place in zip(TERMS, places)]
    write_rows(here / "asked/design.csv", [["participant", "term", "position"], *rows])
    said = refusal(capsys, here, kit)
    assert "does not number the terms 1, 2, 3 and so on for p1" in said
    write_rows(here / "asked/design.csv", [["participant", "term"], *(row[:2] for row in rows)])
    assert "paper cards bear these numbers" in refusal(capsys, here, kit)


def test_a_lexicon_in_parts_shows_each_some_terms(here, capsys):
    (here / "mine.yaml").write_text(
        f"{SETTINGS}design: {{whole_up_to: 5, terms_per_participant: 4}}\n"
    )
    kit()
    said = capsys.readouterr().out
    assert "2 people, 4 of 6 terms each" in said
    assert "a run would refuse this study" in said  # one person sees 6 of 15 pairs
    own = [row["term"] for row in design(here) if row["participant"] == "p1"]
    assert len(own) == len(set(own)) == 4
    sheet = load_workbook(here / "asked/kit/p1/brine-p1.xlsx")["cards"]
    assert [row[4].value for row in sheet.iter_rows(min_row=4)] == own


def test_each_language_has_its_words(here):
    invite(here, ["p3", "panel", "de"])
    titled = GERMAN.replace("instruction:", "title: Wörter der Lake\ninstruction:")
    (here / "asked/consent.de.md").write_text(titled, encoding="utf-8")
    labels = [[term, "term", "de", f"{term} auf Deutsch"] for term in TERMS]
    write_rows(here / "asked/labels.csv", [["id", "tier", "language", "label"], *labels])
    assert kit() == 0
    book = load_workbook(here / "asked/kit/p3/brine-p3.xlsx")
    assert book["Karten"]["A1"].value == "Legen Sie zusammen, was passt."
    assert "Wörter der Lake" in str([[c.value for c in r] for s in book for r in s.iter_rows()])
    assert book["Karten"]["B4"].value.endswith("auf Deutsch")
    assert load_workbook(here / "asked/kit/p1/brine-p1.xlsx")["cards"]["B4"].value in [
        term.title() for term in TERMS
    ]


def test_what_a_language_lacks_is_named_all_at_once(here, capsys):
    invite(here, ["p3", "panel", "de"], ["p4", "panel", "fr"])
    labels = [[term, "term", "de", term] for term in TERMS[1:]]
    write_rows(here / "asked/labels.csv", [["id", "tier", "language", "label"], *labels])
    said = refusal(capsys, here, kit)
    assert "consent.de.md: the file is missing" in said
    assert "1 term has no label in 'de': brine" in said
    assert "'fr': is a language for which the kit has no words" in said
    assert "There are: de, en" in said
    assert "invitations.csv, line 5, column 'language'" in said


@pytest.mark.parametrize(
    ("rows", "problem"),
    [
        ([["p1", "panel", ""]], "the participant stands twice"),
        ([["p 5", "panel", ""]], "is no identifier"),
        ([["../p5", "panel", ""]], "is no identifier"),
        ([["", "panel", ""]], "is empty where an identifier belongs"),
        ([["p5", "pannel", ""]], "Did you mean 'panel'?"),
        ([["p5", "The PANEL", ""]], "Did you mean 'panel'?"),
        ([["Anna Müller", "panel", ""]], "a code such as p07, never a name"),
        ([["p5", "panel", "german"]], "no tag of a language"),
        ([["p5", "panel", "", "x"]], "the row has 4 cells"),
    ],
)
def test_a_faulty_invitation_is_named(here, capsys, rows, problem):
    invite(here, *rows)
    assert problem in refusal(capsys, here, kit)


@pytest.mark.parametrize("name", ["consent.md", "invitations.csv", "study.yaml", "terms.csv"])
def test_nothing_is_made_without_a_file(here, capsys, name):
    (here / "asked" / name).unlink()
    said = refusal(capsys, here, kit)
    assert f"asked/{name}: the file is missing" in said


def test_an_incomplete_consent_makes_nothing(here, capsys):
    edit(here, "consent.md", "contact: Secretary of the guild\n", "")
    assert "the key 'contact' is missing" in refusal(capsys, here, kit)
    assert not (here / "asked/kit").exists()


def test_that_there_is_no_consent_text_is_said(here, capsys):
    (here / "asked/consent.md").write_text("no consent text\n")
    assert kit() == 0
    assert "says that there is no consent text" in capsys.readouterr().out


CHANGES = {
    "instruction": ("study.yaml", "instruction: ", "instruction: Please. "),
    "title": ("study.yaml", "title: ", "title: Our "),
    "consent": ("consent.md", "voluntary", "up to you"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_changed_words_are_refused_or_kits_made_again(here, capsys, name):
    kit()
    before = {path.name: path.read_bytes() for path in (here / "asked/kit/p1").iterdir()}
    edit(here, *CHANGES[name])
    said = refusal(capsys, here, kit)
    assert "not what kits were made from (m1, p1)" in said
    assert "--again" in said
    assert kit("--again") == 0
    assert "Made anew: m1, p1" in capsys.readouterr().out
    aside = here / "asked/kit/p1/earlier-1"
    kept = {path.name: path.read_bytes() for path in aside.iterdir()}
    assert kept == {name: data for name, data in before.items() if name != "issued.json"}
    assert (here / "asked/kit/p1/brine-p1.xlsx").read_bytes() != kept["brine-p1.xlsx"]
    again = bytes_of(here)
    assert kit() == 0
    assert bytes_of(here) == again


@pytest.mark.parametrize("again", [[], ["--again"]])
def test_a_changed_lexicon_is_refused_whatever_is_typed(here, capsys, again):
    kit()
    edit(here, "terms.csv", "Brine", "Salt water")
    said = refusal(capsys, here, kit, *again)
    assert "terms.csv is not what kits were made from" in said
    assert "move the folder kit/ away on purpose" in said
    assert said.count("m1, p1") == 1  # the rest changes with it, and is not told as well


def test_a_changed_edition_is_refused(here, capsys):
    kit()
    text = (here / "asked/study.yaml").read_text()
    edition = text.split("edition: ")[1].split("\n")[0]
    edit(here, "study.yaml", f"edition: {edition}", "edition: 1999")
    assert "the edition is not the one" in refusal(capsys, here, kit, "--again")


def test_a_changed_order_is_refused(here, capsys):
    kit()
    rows = [[*row.values()] for row in design(here)]
    rows[0][2], rows[1][2] = rows[1][2], rows[0][2]
    write_rows(here / "asked/design.csv", [["participant", "term", "position"], *rows])
    assert "design.csv does not hold what kits were made from" in refusal(
        capsys, here, kit, "--again"
    )


def test_definitions_are_shown_where_the_setting_says_so(here, capsys):
    (here / "mine.yaml").write_text(f"{SETTINGS}kit: {{definitions: true}}\n")
    kit()
    assert "That changes the task" in capsys.readouterr().out
    sheet = load_workbook(here / "asked/kit/p1/brine-p1.xlsx")["cards"]
    assert sheet["C3"].value == "Definition"
    (here / "mine.yaml").write_text(SETTINGS)
    assert "labels or definitions are not" in refusal(capsys, here, kit)


def test_missing_files_come_back_and_others_stay_whatever_was_done_to_them(here, capsys):
    kit()
    own = here / "asked/kit/p1"
    before = bytes_of(here)
    (own / "brine-p1.pdf").unlink()
    (own / "brine-p1.xlsx").write_bytes(b"saved by somebody")
    (own / "letter.txt").write_text("dear")
    capsys.readouterr()
    assert kit() == 0
    said = capsys.readouterr().out
    assert "Files that were missing are there again: p1" in said
    assert "No longer as given, since a file was saved in asked/kit; left alone: p1" in said
    assert (own / "brine-p1.pdf").read_bytes() == before[own / "brine-p1.pdf"]
    assert (own / "brine-p1.xlsx").read_bytes() == b"saved by somebody"
    assert (own / "letter.txt").read_text() == "dear"


def test_a_file_that_stands_where_a_kit_goes_is_not_overwritten(here, capsys):
    own = here / "asked/kit/p1"
    own.mkdir(parents=True)
    (own / "brine-p1.xlsx").write_bytes(b"somebody's")
    assert "was not made by this command" in refusal(capsys, here, kit)


def test_what_was_cut_short_is_finished(here):
    kit()
    before = bytes_of(here)
    (here / "asked/kit/p1/issued.json").unlink()
    (here / "asked/kit/p1/brine-p1.pdf").unlink()
    shutil.rmtree(here / "asked/kit/m1")
    assert kit() == 0
    assert bytes_of(here) == before


def test_who_is_no_longer_invited_is_said_and_left_alone(here, capsys):
    kit()
    write_rows(here / "asked/participants.csv", [["participant", "population"], ["m1", "makers"]])
    write_rows(here / "asked/invitations.csv", INVITED[:2])
    before = bytes_of(here)
    capsys.readouterr()
    assert kit() == 0
    assert "their kits are left alone: m1" in capsys.readouterr().out
    assert bytes_of(here) == before


@pytest.mark.parametrize("content", ["", "{}", "[]", '{"form": "x"}', "{" * 20_000, "null",
                                     '{"form": "felloe-kit-1", "sort": {"parts": 1}}'])  # fmt: skip
def test_a_broken_record_is_named(here, capsys, content):
    kit()
    (here / "asked/kit/p1/issued.json").write_text(content)
    assert "kit/p1/issued.json: is not the record" in refusal(capsys, here, kit)


@pytest.mark.parametrize("place", ["kit", "kit/p1"])
def test_links_and_files_in_the_place_of_folders_are_refused(here, capsys, place):
    (here / "elsewhere").mkdir()
    path = here / "asked" / place
    path.parent.mkdir(exist_ok=True)
    path.symlink_to(here / "elsewhere")
    assert "leads elsewhere" in refusal(capsys, here, kit)
    path.unlink()
    path.write_text("")
    assert "is no folder" in refusal(capsys, here, kit)


def test_sorts_without_a_design_are_refused(here, capsys):
    write_rows(here / "asked/sorts.csv", long_rows())
    assert "there are sorts and no design" in refusal(capsys, here, kit)


def test_letters_that_no_font_has_make_nothing(here, capsys):
    edit(here, "terms.csv", "Brine", "Brine \U00012000")
    assert "no font at hand has these letters" in refusal(capsys, here, kit)


def test_colours_are_asked_of_each_for_a_share(here, capsys):
    (here / "mine.yaml").write_text(f"{SETTINGS}kit: {{colours_per_person: 4}}\n")
    assert kit("--colours") == 0
    said = capsys.readouterr().out
    assert "2 people, colours of 4 terms each; every term was dealt to 1 to 2 people" in said
    assert "6 terms have fewer than 3 people" in said
    assert not (here / "asked/design.csv").exists()
    names = {path.name for path in (here / "asked/kit/p1").iterdir()}
    assert names == {"issued.json", "brine-p1-colours.html", "brine-p1-colours.xlsx"}
    book = load_workbook(here / "asked/kit/p1/brine-p1-colours.xlsx")
    book["cards"]["C4"] = "#336699"
    book.save(here / "back.xlsx")
    (found,), _ = read_spreadsheet(here / "back.xlsx")
    assert found.identity.kind == "colours"
    assert list(found.picks.values()) == ["#336699"]
    assert len(found.unplaced) == 3


def test_no_code_is_made_of_a_name(here, capsys):
    invite(here, ["Anna Müller", "panel", ""])
    assert "anna" not in refusal(capsys, here, kit)


def test_a_consent_text_that_differs_from_that_of_the_other_kind_is_said(here, capsys):
    kit()
    capsys.readouterr()
    kit("--colours")
    said = capsys.readouterr().out
    assert "another consent text" not in said
    assert "consent.md has to say that colours are stored too" in said
    edit(here, "consent.md", "Your piles", "Your piles and colours")
    invite(here, ["p8", "panel", ""])
    kit("--again")
    said = capsys.readouterr().out
    assert "Their earlier kits, to pick colours, have another consent text: m1, p1." in said


def test_both_kinds_stand_side_by_side_and_late_people_get_what_was_dealt_least(here):
    kit()
    kit("--colours")
    before = bytes_of(here)
    assert set(json.loads((here / "asked/kit/p1/issued.json").read_text())) == {
        "form", "sort", "colours",
    }  # fmt: skip
    (here / "mine.yaml").write_text(f"{SETTINGS}kit: {{colours_per_person: 2}}\n")
    invite(here, ["p9", "panel", ""])
    kit("--colours")
    after = bytes_of(here)
    assert all(after[path] == data for path, data in before.items() if "kit" in path.parts)
    assert len(json.loads((here / "asked/kit/p9/issued.json").read_text())["colours"]["order"]) == 2


def test_nothing_in_a_kit_tells_of_place_time_or_machine(here):
    kit()
    kit("--colours")
    for path in (here / "asked/kit").rglob("*"):
        if path.is_file():
            data = path.read_bytes()
            assert str(here).encode() not in data


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["kit"], "Kits are made for one study at a time."),
        (["kit", "a", "b"], "Kits are made for one study at a time."),
        (["kit", "a", "--color"], "--color is no option of this command."),
    ],
)
def test_a_wrong_command_line_ends_with_two(typed, said, capsys):
    assert launcher.main(typed) == 2
    assert said in capsys.readouterr().err


def test_an_unknown_study_is_named(here, capsys):
    assert typed(main, study="brin") == 1
    assert "Did you mean 'brine'?" in capsys.readouterr().err


def test_who_withdrew_is_not_invited_again(here, capsys):
    assert kit() == 0
    assert withdraw("p1") == 0
    invite(here)  # p1 too
    said = refusal(capsys, here, kit)
    assert "invitations.csv, line 2" in said
    assert "p1" in said
    assert "withdrew" in said
    assert "another code" in said
    assert not (here / "asked" / "kit" / "p1").exists()
