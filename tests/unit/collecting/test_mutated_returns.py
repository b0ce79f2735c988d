"""300 returns damaged at random: each is refused by name, or the tables say what it says."""

import csv
import json
import random

import pytest
from return_examples import (
    PEOPLE,
    TALLY,
    answer,
    colour_answer,
    order_of,
    put,
    tally_rows,
)
from study_folder import bytes_of
from tables_as_text import read_texts
from typed_words import gather

MUTANTS, IN_ONE = 300, 30
TABLES = ("sorts.csv", "participants.csv", "pile_words.csv", "colours.csv")
MUTATED = "p1"
ODD = [
    "", "?", "0", "-1", "1e400", "nan", "p2", "dill", "Dill", "brine", "\u202e", "\x00", "🧂",
    "=1+1", None, True, -1, 1.5, 10**30, [], {}, ["dill"], {"dill": "dill"}, "x" * 5000,
    "2026-13-01T00:00:00Z",
]  # fmt: skip


def original(kind):
    """Return the bytes of a good return of `MUTATED`, and what it is called."""
    if kind == "tally":
        rows = [[*row, "", ""] for row in tally_rows(MUTATED, ["1", "1", "2", "2", "3", "?"])]
        rows[0][5:] = ["sharp", "2026-03-05"]
        lines = [[*TALLY, "words", "saved"], *rows]
        return "tally.csv", "".join(",".join(line) + "\n" for line in lines).encode()
    told = answer(MUTATED, minutes=7)
    if kind == "colours":
        told = colour_answer(MUTATED, dict.fromkeys(order_of(MUTATED), "#102030"))
    return f"{kind}.json", json.dumps(told).encode()


def mutated_json(data, random_number):
    """Return the JSON with one value, key or entry of a list changed."""
    told = json.loads(data)
    places = []

    def walk(node):
        keys = range(len(node)) if isinstance(node, list) else list(node)
        for key in keys:
            places.append((node, key))
            if isinstance(node[key], (list, dict)):
                walk(node[key])

    walk(told)
    node, key = random_number.choice(places)
    do = random_number.choice(("drop", "odd", "double", "swap"))
    other, place = random_number.choice(places)
    if do == "drop":
        del node[key]
    elif do == "double" and isinstance(node, list):
        node.append(node[key])
    elif do == "swap" and not isinstance(node[key], (list, dict)):
        node[key], other[place] = other[place], node[key]
    else:
        node[key] = random_number.choice(ODD)
    return json.dumps(told).encode()


def mutated_bytes(data, random_number):
    """Return the bytes with one of them, or a stretch, changed, doubled or cut out."""
    start = random_number.randrange(len(data))
    end = min(len(data), start + random_number.choice((1, 1, 2, 20)))
    instead = random_number.choice(
        (b"", b"\x00", b"\xff", b",", b'"', b"\n", b"1", b"2", b"p2", data[start:end] * 2)
    )
    return data[:start] + instead + data[end:]


def mutant(number):
    """Return the name and the bytes of one damaged return."""
    random_number = random.Random(number)
    name, data = original(("sort", "colours", "tally")[number % 3])
    shape = mutated_json if name.endswith(".json") and number % 2 else mutated_bytes
    return name, shape(data, random_number)


def said_by(name, data):
    """Return what a file says of terms, read once more and in another way; None if it can't be."""
    try:
        text = data.decode("utf-8")
        if name.endswith(".csv"):
            return said_by_rows(list(csv.DictReader(text.splitlines())))
        told = json.loads(text)
        if told["kind"] == "colours":
            return {"picks": {term: colour.lower() for term, colour in told["picks"].items()}}
        piles = {frozenset(pile["terms"]): pile["words"] for pile in told["piles"]}
        return {
            "piles": {terms: " ".join(words.split()) for terms, words in piles.items() if terms}
        }
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def said_by_rows(rows):
    """Return what the rows of a tally say."""
    piles, words = {}, {}
    for row in rows:
        pile = row["pile"].strip()
        if pile in ("", "?"):
            continue
        pile = str(int(pile)) if pile.isdigit() else pile
        card = int(row["card"])
        piles.setdefault(pile, set()).add(order_of(row["participant"].strip())[card - 1])
        words[pile] = words.get(pile) or " ".join((row["words"] or "").split())
    return {"piles": {frozenset(terms): words[pile] for pile, terms in piles.items()}}


def said_by_tables(folder, person):
    """Return what the tables say of a person, in the same form."""

    def rows(name):
        return read_texts(folder / name) if (folder / name).is_file() else []

    piles = {}
    for row in rows("sorts.csv"):
        if row["participant"] == person and row["pile"]:
            piles.setdefault(row["pile"], set()).add(row["term"])
    words = {
        row["pile"]: row["words"] for row in rows("pile_words.csv") if row["participant"] == person
    }
    picks = {
        row["term"]: row["colour"] for row in rows("colours.csv") if row["respondent"] == person
    }
    named = {frozenset(terms): words.get(pile, "") for pile, terms in piles.items()}
    return named, picks


def unguarded(words):
    return words[1:] if words.startswith("'") else words


@pytest.fixture
def folder(folder):
    for person in PEOPLE:
        if person != MUTATED:
            put(folder, f"{person}.json", answer(person))
    return folder


@pytest.mark.parametrize("start", range(0, MUTANTS, IN_ONE))
def test_a_damaged_return_is_refused_by_name_or_counts_as_it_stands(folder, capsys, start):
    assert gather() == 0
    others = {name: said_by_tables(folder, "p0") for name in TABLES}
    capsys.readouterr()
    for number in range(start, start + IN_ONE):
        name, data = mutant(number)
        path = folder / "returns" / name
        path.write_bytes(data)
        before = bytes_of(folder)
        status = gather()
        told = capsys.readouterr()
        assert "Traceback" not in told.err, number
        if status:
            after = bytes_of(folder)
            assert after == before, number
            assert name in told.err, number
            assert len(told.err.splitlines()) < 60, number
        else:
            judge(folder, name, data, told.out, number)
            assert {each: said_by_tables(folder, "p0") for each in TABLES} == others, number
        path.unlink()


def judge(folder, name, data, out, number):
    """Hold the tables against what the file says of itself."""
    piles, picks = said_by_tables(folder, MUTATED)
    if name in out and "Incomplete" in out and not piles:
        return  # listed as incomplete
    said = said_by(name, data)
    assert said is not None, number
    if "picks" in said:
        assert picks == said["picks"], number
        return
    found = {terms: unguarded(words) for terms, words in piles.items()}
    wanted = {terms: unguarded(words) for terms, words in said["piles"].items()}
    assert found == wanted, number
    if set().union(*wanted) != set(order_of(MUTATED)):
        assert "do not know" in out, number
