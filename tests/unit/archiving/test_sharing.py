"""What is passed on: links that lead nowhere, folders in the way, populations of a few."""

import pytest
from felloe.archiving.naming import named_in, pseudonyms
from felloe.archiving.sharing import refuse_small, without_dead_links, write_folder
from felloe.errors import StudyError
from felloe.launching.setup.environment import WrongCommand
from felloe.launching.share import request

HOME = "results/guild/report"
THERE = {f"{HOME}/wheel.html", "results/guild/figures/wheel one.svg"}


@pytest.mark.parametrize(
    "link",
    [
        '<a href="wheel.html">wheel</a>',
        '<a class="path" href="../figures/wheel%20one.svg">wheel</a>',
        '<a href="wheel.html#term-dill">dill</a>',
        '<a href="#people">people</a>',
        '<a href="https://example.org/x">elsewhere</a>',
        '<a href="mailto:a@example.org">write</a>',
        '<abbr href="sorts.csv">no link</abbr>',
    ],
)
def test_a_link_to_what_is_there_stays(link):
    assert without_dead_links(link, HOME, THERE) == link


@pytest.mark.parametrize(
    "link",
    [
        '<a href="../validation/flow.csv"><b>flow</b></a>',
        "<a\n class='path' href='../validation/flow.csv#row'><b>flow</b></a>",
        '<a href="../validation/../validation/flow.csv?x"><b>flow</b></a>',
    ],
)
def test_a_link_to_what_is_not_there_becomes_words_that_say_so(link):
    page = f"<p>{link}, <a href='wheel.html'>wheel</a></p>"
    expected = "<p><span><b>flow</b> (not included)</span>, <a href='wheel.html'>wheel</a></p>"
    assert without_dead_links(page, HOME, THERE) == expected


def test_a_population_of_two_is_not_shared():
    refuse_small("guild", {"makers": 3, "panel": 9}, 3)
    with pytest.raises(StudyError, match=r"makers \(2\) analysed, fewer than privacy"):
        refuse_small("guild", {"makers": 2, "panel": 9}, 3)


def test_a_folder_takes_the_place_of_an_earlier_one(tmp_path):
    place = tmp_path / "shared" / "guild"
    write_folder(place, {"NOT_INCLUDED.txt": b"1", "old/a.csv": b"2"})
    write_folder(place, {"NOT_INCLUDED.txt": b"3"})
    assert [path.name for path in place.rglob("*")] == ["NOT_INCLUDED.txt"]
    assert [path.name for path in place.parent.iterdir()] == ["guild"]


def test_a_folder_of_somebody_elses_is_left_alone(tmp_path):
    place = tmp_path / "guild"
    place.mkdir()
    (place / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(StudyError, match="stands in the way"):
        write_folder(place, {"NOT_INCLUDED.txt": b""})
    assert [path.name for path in tmp_path.rglob("*")] == ["guild", "mine.txt"]


def test_a_folder_that_cannot_be_finished_is_not_begun(tmp_path):
    place = tmp_path / "guild"
    write_folder(place, {"NOT_INCLUDED.txt": b"1"})
    with pytest.raises(OSError, match="lost"):
        write_folder(place, {"NOT_INCLUDED.txt": b"2", "a": tmp_path / "lost.csv"})
    assert [path.name for path in tmp_path.iterdir()] == ["guild"]
    assert (place / "NOT_INCLUDED.txt").read_bytes() == b"1"


@pytest.mark.parametrize(
    "typed", [["guild", "other"], ["--with-people"], ["--folder", "--configfile", "lost.yaml"]]
)
def test_a_command_that_cannot_be_meant_is_refused(typed, tmp_path):
    with pytest.raises(WrongCommand) as caught:
        request(typed, tmp_path, tmp_path)
    assert caught.value.status == 2


def test_what_was_typed_is_understood(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    asked, folder = request(
        ["guild", "--folder", "--directory", "."], tmp_path / "project", tmp_path
    )
    assert folder == tmp_path
    assert (asked["study"], asked["folder"], asked["people"]) == ("guild", True, None)


PEOPLE = ["p07", "Bowerbird 4", "anna", "17", "dill2"]


def test_only_what_looks_like_a_pseudonym_is_looked_for():
    assert pseudonyms(PEOPLE, ["dill2"]) == ["Bowerbird 4", "p07"]


@pytest.mark.parametrize(
    ("name", "text", "who"),
    [
        ("tiers/decisions.csv", "mace,clove,p07 insisted", "p07"),
        ("report/report.html", "<p>as <b>Bowerbird 4</b> said</p>", "Bowerbird 4"),
        ("report/report.html", '<p class="p07">nobody</p><style>.p07 {}</style>', None),
        ("report/report.html", '<img src="data:image/png;base64,AA/p07/AA">', None),
        ("circle/colours.csv", "mace,#p07070,sp07,p07-x", None),
        ("figures/wheel.png", "p07", None),
    ],
)
def test_a_person_is_named_in_words_and_not_in_furniture(name, text, who):
    found = list(named_in({name: text.encode()}, pseudonyms(PEOPLE, ["dill2"])))
    assert found == ([(name, who)] if who else [])
