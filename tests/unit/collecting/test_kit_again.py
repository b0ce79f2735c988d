"""The word `kit` typed again: what was given stays, and what has changed since is refused."""

import json
import shutil

import pytest
from kit_example import INVITED, SETTINGS, design, edit, invite
from study_folder import bytes_of, write_rows
from typed_words import kit, refusal


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
