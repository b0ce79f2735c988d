"""What `kit` refuses: no file is written, and what is wrong is named."""

import pytest
from felloe.launching import launcher
from felloe.launching.collecting_words.kit import main
from kit_example import edit, invite
from study_folder import TERMS, long_rows, write_rows
from typed_words import kit, refusal, typed, withdraw


@pytest.mark.parametrize("places", [["", "1", "2"], ["2", "3", "4"], ["1", "2", "4"]])
def test_a_design_that_does_not_number_the_cards_is_refused(here, capsys, places):
    rows = [["p1", term, place] for term, place in zip(TERMS, places)]
    write_rows(here / "asked/design.csv", [["participant", "term", "position"], *rows])
    said = refusal(capsys, here, kit)
    assert "does not number the terms 1, 2, 3 and so on for p1" in said
    write_rows(here / "asked/design.csv", [["participant", "term"], *(row[:2] for row in rows)])
    assert "paper cards bear these numbers" in refusal(capsys, here, kit)


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


def test_a_file_that_stands_where_a_kit_goes_is_not_overwritten(here, capsys):
    own = here / "asked/kit/p1"
    own.mkdir(parents=True)
    (own / "brine-p1.xlsx").write_bytes(b"somebody's")
    assert "was not made by this command" in refusal(capsys, here, kit)


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


def test_no_code_is_made_of_a_name(here, capsys):
    invite(here, ["Anna Müller", "panel", ""])
    assert "anna" not in refusal(capsys, here, kit)


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
