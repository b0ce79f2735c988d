"""Terms left out of the study: what was issued with them is gathered without them."""

import io

import pytest
from felloe.launching.collecting_words.gather import main as gather_word
from felloe.launching.freeze import main as freeze_word
from felloe.launching.plan_study.command import main as plan_word
from felloe.validation.intake.study import read_study
from openpyxl import load_workbook
from return_examples import (
    LABELS,
    PEOPLE,
    STUDY,
    TALLY,
    TERMS,
    answer,
    colour_answer,
    copied_text,
    issued_sheet,
    order_of,
    put,
    put_tally,
    tally_rows,
)
from study_folder import LIMITS, bytes_of, write_rows
from tables_as_text import read_texts
from typed_words import gather, kit, typed, withdraw

GONE = "smoke"
KEPT = sorted(set(TERMS) - {GONE})
LEFT = [["term", "label", "reason"], [GONE, LABELS[GONE], "the makers do not know it"]]
KINDS = ("page", "mail", "paper", "spreadsheet")


def leave_out(folder, *rows, reasons=LEFT):
    """Move the row of the term, as the message says."""
    write_rows(folder / "terms.csv", [["term", "label"], *([term, LABELS[term]] for term in KEPT)])
    write_rows(folder / "left_out.csv", [*reasons, *rows])


def piles_of(person):
    """Return what a person says: the term alone, beside another, or not known, and two piles."""
    n, terms = [*PEOPLE].index(person), [term for term in order_of(person) if term != GONE]
    piles = [terms[:2], terms[2:]]
    unknown = []
    if n % 3 == 0:
        piles.insert(0, [GONE])
    elif n % 3 == 1:
        piles[1].append(GONE)
    else:
        unknown.append(GONE)
    return piles, unknown


def told_by(person, **changes):
    piles, unknown = piles_of(person)
    told = [{"words": f"words {at}", "terms": terms} for at, terms in enumerate(piles)]
    return answer(person, piles=told, unknown=unknown, **changes)


def filled_in(person):
    """Return a kit's spreadsheet, filled in."""
    book = load_workbook(io.BytesIO(issued_sheet(person)))
    piles, unknown = piles_of(person)
    of_label = {LABELS[term]: str(at) for at, terms in enumerate(piles, 1) for term in terms}
    for row in book["cards"].iter_rows():
        if row[1].value in of_label:
            row[2].value = of_label[row[1].value]
        elif row[1].value in {LABELS[term] for term in unknown}:
            row[3].value = "x"
    return book


def send(folder, kind, person):
    """Put somebody's answer into `returns/`, in one of the kinds."""
    if kind == "page":
        put(folder, f"{person}.json", told_by(person))
    elif kind == "mail":
        text = copied_text(told_by(person))
        (folder / "returns" / f"{person}.txt").write_text(text, encoding="utf-8")
    elif kind == "paper":
        piles, unknown = piles_of(person)
        own = {term: str(at) for at, terms in enumerate(piles, 1) for term in terms}
        own |= dict.fromkeys(unknown, "?")
        cards = tally_rows(person, [own[term] for term in order_of(person)])
        put_tally(folder, f"tally-{person}.csv", [TALLY, *cards])
    else:
        filled_in(person).save(folder / "returns" / f"{STUDY}-{person}.xlsx")


def send_all(folder):
    for at, person in enumerate(PEOPLE):
        send(folder, KINDS[at % len(KINDS)], person)


def sorted_by(folder):
    """Return the piles that the gathered sorts have, by person, in the order of their numbers."""
    found = {}
    for row in read_texts(folder / "sorts.csv"):
        found.setdefault(row["participant"], {}).setdefault(row["pile"], set()).add(row["term"])
    return found


@pytest.mark.parametrize("before", [True, False])
def test_every_kind_of_return_is_read_and_no_table_has_the_term(folder, capsys, before):
    send_all(folder)
    put(folder, "c.json", colour_answer("p0", {GONE: "#333333", "dill": "#00aa11"}))
    if before:
        assert gather() == 0
        assert GONE in {row["term"] for row in read_texts(folder / "sorts.csv")}
    leave_out(folder)
    capsys.readouterr()
    assert gather() == 0
    assert f"left out: {GONE} (left_out.csv)\n" in capsys.readouterr().out
    found = sorted_by(folder)
    assert list(found) == list(PEOPLE)
    for person, piles in found.items():
        wanted = [sorted(set(terms) - {GONE}) for terms in piles_of(person)[0]]
        numbered = [sorted(piles[str(at)]) for at in range(1, len(piles) + 1)]
        assert numbered == sorted(terms for terms in wanted if terms), person
    assert [(row["term"], row["colour"]) for row in read_texts(folder / "colours.csv")] == [
        ("dill", "#00aa11")
    ]
    for row in read_texts(folder / "sorts.csv"):
        assert int(row["position"]) == order_of(row["participant"]).index(row["term"]) + 1
    before_again = bytes_of(folder)
    assert gather() == 0
    assert bytes_of(folder) == before_again
    study = read_study(folder, LIMITS)
    assert [row["term"] for row in study.terms] == KEPT
    assert study.shown is None


def test_a_pile_of_nothing_else_vanishes_with_its_words(folder, capsys):
    put(folder, "a.json", told_by("p0"))  # p0 puts it into a pile of its own, words 0
    leave_out(folder)
    assert gather() == 0
    said = {row["words"] for row in read_texts(folder / "pile_words.csv")}
    assert said == {"words 1", "words 2"}
    assert "nothing lies" not in capsys.readouterr().out


def test_who_left_nothing_else_undone_is_through(folder, capsys):
    told = told_by("p2")
    put(folder, "a.json", {**told, "unknown": [], "unplaced": [GONE]})
    gather()
    assert "1 of 6 terms are missing" in capsys.readouterr().out
    assert not (folder / "sorts.csv").exists()
    leave_out(folder)
    gather()
    assert "Incomplete" not in capsys.readouterr().out
    assert {row["participant"] for row in read_texts(folder / "sorts.csv")} == {"p2"}


def test_another_label_is_another_lexicon(folder, capsys):
    put(folder, "a.json", told_by("p0"))
    leave_out(folder, reasons=[LEFT[0], [GONE, "Smoky", "r"]])
    assert gather() == 1
    said = capsys.readouterr().err
    assert "another lexicon" in said
    assert "left_out.csv" in said


def test_a_term_that_is_in_neither_list_is_told_both_ways_back(folder, capsys):
    put(folder, "a.json", told_by("p0"))
    leave_out(folder)
    (folder / "left_out.csv").unlink()
    assert gather() == 1
    assert "Put it back, or its row into left_out.csv" in capsys.readouterr().err


@pytest.mark.parametrize("word", [gather_word, plan_word, freeze_word])
def test_a_term_in_both_lists_stops_every_word_with_its_line(folder, capsys, word):
    write_rows(folder / "left_out.csv", LEFT)
    assert typed(word) == 1
    said = capsys.readouterr().err
    assert "left_out.csv" in said
    assert "line 2" in said
    assert "stands in terms.csv too" in said
    assert "Keep one of the two rows" in said
    assert "Traceback" not in said


def without_term(person, *terms):
    """Return an answer that places all but some terms."""
    piles = [[term for term in order_of(person) if term not in terms]]
    told = [{"words": "", "terms": own} for own in piles]
    return answer(person, piles=told, unknown=list(terms))


def test_what_nobody_of_a_population_placed_is_told_before_a_run_refuses_it(folder, capsys):
    for person, population in PEOPLE.items():
        gone = ("dill", GONE) if population == "makers" else ("dill",)
        put(folder, f"{person}.json", without_term(person, *gone))
    assert gather() == 0
    said = capsys.readouterr().out
    assert "nobody placed dill\n" in said
    assert f"nobody of 'makers' placed {GONE}\n" in said
    assert "nobody of 'panel'" not in said
    assert "move its row from terms.csv to left_out.csv" in said
    leave_out(folder)
    write_rows(
        folder / "terms.csv",
        [["term", "label"], *([term, LABELS[term]] for term in KEPT if term != "dill")],
    )
    write_rows(folder / "left_out.csv", [*LEFT, ["dill", LABELS["dill"], "nor this"]])
    assert gather() == 0
    said = capsys.readouterr().out
    assert "would refuse" not in said
    assert f"left out: dill, {GONE} (left_out.csv)" in said
    assert len(read_study(folder, LIMITS).terms) == 4


def test_of_a_population_without_sorts_nothing_is_told(folder, capsys):
    put(folder, "a.json", without_term("p0"))
    gather()
    assert "would refuse" not in capsys.readouterr().out


@pytest.mark.parametrize("more", [(), ("--colours",), ("--again",)])
def test_no_kit_is_made_and_what_to_do_is_told(folder, capsys, more):
    leave_out(folder)
    before = bytes_of(folder)
    assert kit(*more) == 1
    assert bytes_of(folder) == before
    said = capsys.readouterr().err
    assert "stay valid" in said
    assert "put these rows back into terms.csv" in said
    assert len(said.splitlines()) < 12


def test_who_comes_late_gets_the_kit_of_the_others_on_the_way_that_is_told(folder):
    send_all(folder)
    terms = (folder / "terms.csv").read_bytes()
    leave_out(folder)
    assert gather() == 0
    kept = {name: (folder / name).read_bytes() for name in ("terms.csv", "left_out.csv")}
    (folder / "terms.csv").write_bytes(terms)
    (folder / "left_out.csv").unlink()
    with open(folder / "invitations.csv", "a", encoding="utf-8") as stream:
        stream.write("late,makers\n")
    assert kit() == 0
    for name, data in kept.items():
        (folder / name).write_bytes(data)
    (row,) = [
        row
        for row in read_texts(folder / "design.csv")
        if (row["participant"], row["term"]) == ("late", GONE)
    ]
    assert row["position"]
    assert gather() == 0


def test_plan_passes_over_what_was_issued_of_it(folder, capsys):
    leave_out(folder)
    before = (folder / "design.csv").read_bytes()
    assert typed(plan_word) == 0
    said = capsys.readouterr().out
    assert "4 people, 5 of 5 terms each" in said
    assert (folder / "design.csv").read_bytes() == before


def test_withdrawing_and_freezing_go_on(folder, capsys):
    send_all(folder)
    leave_out(folder)
    assert gather() == 0
    assert withdraw("p3") == 0
    assert {row["participant"] for row in read_texts(folder / "sorts.csv")} == set(PEOPLE) - {"p3"}
    assert gather() == 0
    assert typed(freeze_word, "--data-seen") == 0
    assert (folder / "protocol.json").is_file()
