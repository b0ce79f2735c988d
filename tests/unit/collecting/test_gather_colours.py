"""Colours that were picked are gathered, for the terms that each was dealt."""

import json

from return_examples import colour_answer, put
from tables_as_text import read_texts
from typed_words import gather, refusal

PERSON = "p0"


def test_colours_come_with_their_respondents(folder):
    put(folder, "c.json", colour_answer(PERSON, {"dill": "#00aa11", "brine": "#112233"}))
    assert gather() == 0
    assert read_texts(folder / "colours.csv") == [
        {"term": "brine", "respondent": PERSON, "colour": "#112233"},
        {"term": "dill", "respondent": PERSON, "colour": "#00aa11"},
    ]
    assert not (folder / "sorts.csv").exists()


def deal(folder, person, terms):
    """Write into the record of a person's kit for which terms they were asked."""
    path = folder / "kit" / person / "issued.json"
    record = json.loads(path.read_text("utf-8"))
    record["colours"]["order"] = terms
    path.write_text(json.dumps(record), encoding="utf-8")


def test_colours_are_held_against_the_terms_that_were_dealt(folder, capsys):
    deal(folder, PERSON, ["dill", "brine", "salt"])
    picks = {"dill": "#00aa11", "brine": "#112233"}
    path = put(folder, "c.json", colour_answer(PERSON, picks, unplaced=["salt"]))
    assert gather() == 0
    path.unlink()
    alien = put(folder, "d.json", colour_answer(PERSON, picks))
    assert f"'{PERSON}' was not asked for the colour of" in refusal(capsys, folder, gather)
    alien.unlink()
    lost = put(folder, "e.json", colour_answer(PERSON, picks, unplaced=[]))
    assert "says nothing of 1 term: salt" in refusal(capsys, folder, gather)
    lost.unlink()
    none = {**colour_answer(PERSON, picks, unplaced=[]), "unknown": ["salt"]}  # none fits
    put(folder, "f.json", none)
    assert gather() == 0


def test_colours_of_somebody_of_whose_kit_there_is_no_record_are_refused(folder, capsys):
    (folder / "kit" / PERSON / "issued.json").unlink()
    put(folder, "c.json", colour_answer(PERSON, {"dill": "#00aa11"}))
    assert f"kit/{PERSON}/issued.json" in refusal(capsys, folder, gather)


def test_who_has_picked_no_colours_yet_is_said(folder, capsys):
    put(folder, "c.json", colour_answer(PERSON, {"dill": "#00aa11"}, unplaced=[]))
    deal(folder, PERSON, ["dill"])
    asked = {path.parent.name for path in folder.glob("kit/*/issued.json")
             if "colours" in json.loads(path.read_text("utf-8"))}  # fmt: skip
    gather()
    said = capsys.readouterr().out
    assert f"Colours: picked by 1 of {len(asked)} who were asked." in said
    assert f"No colours yet ({len(asked) - 1}): {', '.join(sorted(asked - {PERSON}))}" in said
