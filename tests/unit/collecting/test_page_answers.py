"""Answers of the page as they come back: whole ones are read, all others refused with a reason."""

import copy
import json
import random
import re
from datetime import UTC, datetime

import pytest
from asked_example import everything_in
from felloe.collecting.identity import Identity
from felloe.collecting.page.reading import LARGEST, read_return
from felloe.collecting.returned import Pile
from return_oracle import text_by_definition

RECORD = {
    "form": "felloe-return-1",
    "kind": "sort",
    "study": "guild",
    "edition": "2026",
    "participant": "p07",
    "terms": "ab" * 32,
    "language": "de-AT",
    "saved": "2026-11-26T16:00:01Z",
    "minutes": 31.5,
    "piles": [{"words": "säuerlich", "terms": ["a", "b"]}, {"words": "", "terms": ["c"]}],
    "unknown": ["d"],
    "unplaced": ["e"],
}
PICKS = {
    **{name: RECORD[name] for name in RECORD if name not in ("piles", "unknown", "unplaced")},
    "kind": "colours",
    "picks": {"a": "#00ff7f", "b": "#000000"},
}
ROUNDS = 300


def changed(record=RECORD, **values):
    return {**copy.deepcopy(record), **values}


def without(*names, record=RECORD):
    return {name: value for name, value in record.items() if name not in names}


def saved(record):
    return json.dumps(record, indent=1).encode()


def copied(record=RECORD):
    """Return the text of a record by its definition."""
    data = json.dumps(record, separators=(",", ":"), ensure_ascii=False).encode()
    return text_by_definition(data)


def read(data):
    """Return an answer; that there is none would be an error of the test."""
    returned, faults = read_return(data, "returns/x")
    assert faults == []
    return returned


def refusal(data):
    returned, faults = read_return(data, "returns/x")
    assert returned is None
    (fault,) = faults
    assert fault.file == "returns/x"
    assert fault.remedy
    return str(fault)


def test_a_saved_file_is_read():
    found = read(saved(RECORD))
    assert found.identity == Identity("sort", "guild", "2026", "p07", "ab" * 32)
    assert found.saved == datetime(2026, 11, 26, 16, 0, 1, tzinfo=UTC)
    assert found.piles == (Pile(("a", "b"), "säuerlich"), Pile(("c",)))
    assert (found.unknown, found.unplaced, found.minutes) == (("d",), ("e",), 31.5)
    assert (found.source, found.picks) == ("returns/x", {})


def test_colours_are_read():
    found = read(saved(PICKS))
    assert (found.picks, found.piles) == (PICKS["picks"], ())
    told = read(saved(changed(PICKS, unknown=["c"], unplaced=["d"])))
    assert (told.unknown, told.unplaced) == (("c",), ("d",))


def test_time_taken_is_told_only_where_it_is_given():
    assert read(saved(without("minutes"))).minutes is None


MAILS = {
    "as copied": lambda text: text,
    "in a mail": lambda text: f"Dear all,\r\n\r\nhere it is:\r\n{text}\r\n\r\nBest, P.",
    "quoted": lambda text: "On Friday P. wrote:\n" + re.sub("^", "> ", text, flags=re.MULTILINE),
    "quoted twice": lambda text: re.sub("^", ">> > ", text, flags=re.MULTILINE),
    "quoted with letters": lambda text: re.sub("^", "  PW> ", text, flags=re.MULTILINE),
    "lines ended otherwise": lambda text: text.replace("\n", "\r\n"),
    "empty lines between": lambda text: text.replace("\n", "\n\n"),
    "wrapped": lambda text: "\n".join(
        part for line in text.split("\n") for part in re.findall(".{1,37}", line)
    ),
    "joined by blanks": lambda text: text.replace("\n", " "),
    "joined": lambda text: text.replace("\n", ""),
    "blanks around": lambda text: re.sub("^|$", " \t\u00a0", text, flags=re.MULTILINE),
    "in capitals outside": lambda text: text.replace("felloe", "Felloe"),
    "unseen blanks": lambda text: text.replace("\n", "\u200b\n\ufeff"),
    "quoted-printable": lambda text: re.sub("(.{50})", r"\1=\n", text.replace("=", "=3D")),
    "with tags": lambda text: "<p>" + text.replace("\n", "&nbsp;<br />\n") + "</p>",
    "with and without tags": lambda text: f"{text}\n<p>" + text.replace("\n", "<br>\n") + "</p>",
    "twice the same": lambda text: f"{text}\n\n> {text}",
}


@pytest.mark.parametrize("mail", MAILS.values(), ids=MAILS)
@pytest.mark.parametrize("more", ["", "x", "xy"])  # so that the text ends in none, one or two `=`
def test_a_copied_text_is_found_in_whatever_a_mail_makes_of_it(mail, more):
    record = changed(study=f"guild{more}")
    assert read(mail(copied(record)).encode()) == read(saved(record))


@pytest.mark.parametrize("code", ["utf-8-sig", "utf-16", "latin-1"])
def test_a_text_may_be_saved_in_any_code(code):
    text = f"Schöne Grüße\n{copied()}\n"
    assert everything_in(read(text.encode(code))) == list("abcde")


def test_a_text_stands_in_a_json_file_or_the_other_way_round():
    assert read(b"\xef\xbb\xbf\n " + saved(RECORD)) == read(copied().encode())


DAMAGES = {
    "a line is missing": lambda text: re.sub("\n.{60}\n", "\n", text, count=1),
    "a letter is missing": lambda text: text.replace("e", "", 3).replace("flloe", "felloe"),
    "a letter is another": lambda text: text[:40] + ("A" if text[40] != "A" else "B") + text[41:],
    "small and large letters": lambda text: text.replace(text[25:60], text[25:60].swapcase()),
    "the check is another": lambda text: text[:-8] + "00000000",
    "the check is short": lambda text: text[:-3],
    "the check is missing": lambda text: text[:-9],
    "the end is missing": lambda text: text[:200],
    "the beginning is missing": lambda text: text[21:],
    "two lines are swapped": lambda text: re.sub("\n(.{60})\n(.{60})", r"\n\2\n\1", text, count=1),
    "a foreign sign": lambda text: text[:50] + "é" + text[50:],
    "nothing in between": lambda text: "felloe return begins felloe return ends 00000000",
}


@pytest.mark.parametrize("damage", DAMAGES.values(), ids=DAMAGES)
def test_a_damaged_text_is_told(damage):
    text = damage(copied())
    assert text != copied()
    assert "copied" in refusal(text.encode())


def test_two_answers_in_one_mail_are_refused():
    both = f"{copied()}\n{copied(changed(participant='p08'))}"
    assert "a file of its own" in refusal(both.encode())


def test_a_mail_without_an_answer_is_told():
    assert "holds no answer" in refusal(b"Sorry, no time. Best, P.")
    assert "holds no answer" in refusal(b"")


BAD = {
    "another form": changed(form="felloe-return-2"),
    "another kind": changed(kind="colour"),
    "kind of a kind": changed(kind=["sort"]),
    "a key more": changed(place="home"),
    "picks in a sort": changed(picks={}),
    "piles in colours": changed(PICKS, piles=[]),
    "a study with a path": changed(study="../guild"),
    "a person with a blank": changed(participant="p 07"),
    "a person of 65 letters": changed(participant="p" * 65),
    "a short hash": changed(terms="ab"),
    "a hash in capitals": changed(terms="AB" * 32),
    "no language": changed(language="?"),
    "edition is a number": changed(edition=2026),
    "edition turned": changed(edition="\u202e2026"),
    "no such day": changed(saved="2026-02-30T10:00:00Z"),
    "no time zone": changed(saved="2026-02-03T10:00:00"),
    "a fraction of a second": changed(saved="2026-02-03T10:00:00.5Z"),
    "time in other figures": changed(saved="٢٠٢٦-02-03T10:00:00Z"),
    "time is a number": changed(saved=1),
    "minutes as text": changed(minutes="5"),
    "minutes true": changed(minutes=True),
    "minutes below none": changed(minutes=-1),
    "minutes beyond all": changed(minutes=10**400),
    "piles is no list": changed(piles={"1": ["a"]}),
    "a pile is a list": changed(piles=[["a"]]),
    "a pile with more": changed(piles=[{"words": "", "terms": ["a"], "number": 1}]),
    "a pile without words": changed(piles=[{"terms": ["a"]}]),
    "an empty pile": changed(piles=[{"words": "so", "terms": []}]),
    "a term twice": changed(piles=[{"words": "", "terms": ["a", "a"]}]),
    "a term in two piles": changed(piles=[{"words": "", "terms": ["a"]}] * 2),
    "a term unknown and placed": changed(unknown=["a"]),
    "a term unplaced and unknown": changed(unplaced=["d"]),
    "a term is a number": changed(unknown=[1]),
    "a term is nothing": changed(unknown=[None]),
    "a term with markup": changed(unknown=["<b>"]),
    "unknown is a text": changed(unknown="d"),
    "words of 201 letters": changed(piles=[{"words": "x" * 201, "terms": ["a"]}]),
    "words are a number": changed(piles=[{"words": 5, "terms": ["a"]}]),
    "words turned": changed(piles=[{"words": "a\u202eb", "terms": ["a"]}]),
    "words with a line": changed(piles=[{"words": "a\nb", "terms": ["a"]}]),
    "half a letter": changed(piles=[{"words": "\ud83d", "terms": ["a"]}]),
    "a colour by name": changed(PICKS, picks={"a": "red"}),
    "a colour in capitals": changed(PICKS, picks={"a": "#FF0000"}),
    "a short colour": changed(PICKS, picks={"a": "#f00"}),
    "a colour is nothing": changed(PICKS, picks={"a": None}),
    "a colour of no term": changed(PICKS, picks={"A b": "#ff0000"}),
    "picked and without": changed(PICKS, unknown=["a"]),
    **{f"no {name}": without(name) for name in RECORD if name != "minutes"},
    "no picks": without("picks", record=PICKS),
}


@pytest.mark.parametrize("record", BAD.values(), ids=BAD)
def test_what_no_page_writes_is_refused(record):
    refusal(saved(record))


RAW = {
    "cut": saved(RECORD)[:-40],
    "a key twice": saved(RECORD).replace(b'"minutes": 31.5', b'"minutes": 1, "minutes": 2'),
    "no number": saved(RECORD).replace(b"31.5", b"NaN"),
    "endless": saved(RECORD).replace(b"31.5", b"-Infinity"),
    "figures": saved(RECORD).replace(b"31.5", b"1" * 9000),
    "deep": b'{"a":' * 100_000,
    "two": saved(RECORD) * 2,
    "a list": b"[1]",
    "null bytes": b"{\0}",
    "zip": b"PK\x03\x04" + bytes(range(256)),
    "too large": b" " * LARGEST + saved(RECORD),
    "empty lines": b"\n" * LARGEST,
    "quote marks": b"> " * (LARGEST // 2),
    "beginnings": b"felloe return begins " * (LARGEST // 21),
    "no JSON in it": copied("text").encode(),
}


@pytest.mark.parametrize("data", RAW.values(), ids=RAW)
def test_bytes_that_mean_harm_are_refused(data):
    refusal(data)


@pytest.mark.parametrize("whole", [saved(RECORD), saved(PICKS), copied().encode()])
def test_changed_bytes_are_refused_or_read_and_never_more(whole):
    # of a text that was copied none is read that says anything else
    first = read(whole)
    for seed in range(ROUNDS):
        chance = random.Random(seed)
        data = bytearray(whole)
        for _ in range(chance.randint(1, 3)):
            at = chance.randrange(len(data))
            act = chance.choice(["turn", "drop", "double", "cut"])
            if act == "turn":
                data[at] = chance.randrange(256)
            elif act == "drop":
                del data[at]
            elif act == "double":
                data[at:at] = data[at : at + chance.randint(1, 80)]
            elif len(data) > 300:
                del data[max(at, 200) :]
        returned, faults = read_return(bytes(data), "returns/x")
        assert (returned is None) == bool(faults)
        if returned and not whole.startswith(b"{"):
            assert returned == first
