"""From a lexicon to a report: kits, answers of every kind, gathered, run, and one withdraws."""

import shutil
from itertools import combinations
from types import SimpleNamespace

import pytest
from felloe.validation.intake.study import read_study
from openpyxl import load_workbook
from peering import files_in, hits
from sent_back import (
    NUMBERS,
    ONE_PERSONS,
    colour_of,
    fill_in,
    fill_in_colours,
    mail,
    minutes_of,
    saved_colours,
    saved_sort,
    sort_of,
    sort_on_screen,
    words_of,
    write_tally,
)
from small_study import PEOPLE, SETTINGS, STUDY, TERMS, write_small_study
from study_folder import LIMITS, bytes_of, write_rows
from tables_as_text import read_texts
from unmistakable import PLACES
from workflow.conftest import run_through

CONSENT = """\
---
purpose: The guild revises its vocabulary.
stored: Your piles, your words for them, and the minutes that you took.
withdraw: Write to the secretary at any time.
contact: The secretary of the guild
minutes: yes
---
Taking part is voluntary.
"""
KINDS = ("xlsx", "page", "mail", "paper")
ON_SCREEN = "somebody-02"  # sorts in a real browser, if there is one
GONE = "somebody-04"  # sends paper, and the colour page's file


def kind_of(person):
    return KINDS[NUMBERS[person] % len(KINDS)]


def typed(*words, cwd):
    """Type a command that has to succeed; return what it says."""
    return run_through(*words, *PLACES, cwd=cwd).stdout


def write_asking(folder):
    """Write the small study as it is before anybody is asked."""
    write_small_study(folder)
    for name in ("sorts.csv", "participants.csv", "colours.csv"):
        (folder / name).unlink()
    people = [[person, population] for person, population in PEOPLE.items()]
    write_rows(folder / "invitations.csv", [["participant", "population"], *people])
    (folder / "consent.md").write_text(CONSENT, encoding="utf-8")
    (folder / "returns" / "colours").mkdir(parents=True)


def browser_or_none(request):
    try:
        return request.getfixturevalue("browser")
    except pytest.skip.Exception:
        return None


def send_sorts(folder, browser):
    """Let everybody send their sort, each in a form of their own."""
    on_paper, returns = {}, folder / "returns"
    for person in PEOPLE:
        kit, kind = folder / "kit" / person, kind_of(person)
        name = f"{STUDY}-{person}"
        if person == ON_SCREEN and browser:
            data = sort_on_screen(browser, kit / f"{name}.html", person)
            (returns / f"{name}-sort.json").write_bytes(data)
        elif kind == "xlsx":
            fill_in(kit / f"{name}.xlsx", person, returns / f"Re {name} (filled in).xlsx")
        elif kind == "page":
            (returns / f"{name}-sort.json").write_text(saved_sort(person), encoding="utf-8")
        elif kind == "mail":
            text = mail(saved_sort(person))
            (returns / f"mail {NUMBERS[person]}.txt").write_bytes(text.encode())
        else:
            own = [row for row in read_texts(folder / "design.csv") if row["participant"] == person]
            own.sort(key=lambda row: int(row["position"]))
            on_paper[person] = [row["term"] for row in own]
    write_tally(returns / "tally-secretary.csv", on_paper)


def send_colours(folder):
    """Let everybody send colours; return the terms for which each was asked, in their order."""
    asked, colours = {}, folder / "returns" / "colours"
    for person in PEOPLE:
        name = f"{STUDY}-{person}-colours"
        sheet = folder / "kit" / person / f"{name}.xlsx"
        asked[person] = fill_in_colours(sheet, person, colours / f"{name}.xlsx")
        if NUMBERS[person] % 2:
            (colours / f"{name}.xlsx").unlink()
            text = saved_colours(person, asked[person])
            (colours / f"{name}.json").write_text(text, encoding="utf-8")
    return asked


@pytest.fixture(scope="module")
def road(request, tmp_path_factory):
    """The whole road, once: what was said on it, and the folder at its end."""
    home = tmp_path_factory.mktemp("road") / "a folder"
    folder = home / STUDY
    write_asking(folder)
    settings = f"{SETTINGS}kit: {{colours_per_person: 6}}\n"
    (home / "small.yaml").write_text(settings, encoding="utf-8")
    made = typed("kit", STUDY, cwd=home) + typed("kit", STUDY, "--colours", cwd=home)
    send_sorts(folder, browser_or_none(request))
    dealt = send_colours(folder)
    gathered = typed("gather", STUDY, cwd=home)
    before = bytes_of(folder)
    typed("kit", STUDY, cwd=home)
    typed("gather", STUDY, cwd=home)
    after = bytes_of(folder)
    typed(cwd=home)
    return SimpleNamespace(
        home=home,
        folder=folder,
        results=home / "results" / STUDY,
        said=(made, gathered),
        dealt=dealt,
        twice=(before, after),
    )


def test_everybody_answered_and_all_four_kinds_were_read(road):
    made, gathered = road.said
    assert "18 people, all 12 terms each" in made
    assert "Trained panel: 9 of 9" in gathered
    assert "Makers: 9 of 9" in gathered
    assert "No sort yet" not in gathered
    assert {kind_of(person) for person in PEOPLE} == set(KINDS)


def test_kits_and_gathering_typed_twice_change_no_byte(road):
    before, after = road.twice
    assert before == after


def test_the_sorts_are_those_that_people_made(road):
    found = {person: {} for person in PEOPLE}
    for row in read_texts(road.folder / "sorts.csv"):
        found[row["participant"]].setdefault(row["pile"], set()).add(row["term"])
    for person, piles in found.items():
        wanted, unknown = sort_of(person)
        assert piles.pop("", set()) == set(unknown), person
        assert sorted(map(sorted, piles.values())) == sorted(map(sorted, wanted.values())), person


def test_terms_come_in_the_order_in_which_they_lay_before_each(road):
    keys = ("participant", "term", "position")
    sorts, design = (
        {tuple(row[key] for key in keys) for row in read_texts(road.folder / name)}
        for name in ("sorts.csv", "design.csv")
    )
    assert sorts == design
    orders = {}
    for person, term, position in design:
        orders.setdefault(person, {})[int(position)] = term
    assert all(sorted(order) == list(range(1, len(TERMS) + 1)) for order in orders.values())
    assert len({tuple(order[at] for at in sorted(order)) for order in orders.values()}) > 15


def test_words_for_piles_are_those_that_people_wrote(road):
    piles = {}
    for row in read_texts(road.folder / "sorts.csv"):
        piles.setdefault((row["participant"], row["pile"]), set()).add(row["term"])
    found = {
        (row["participant"], frozenset(piles[row["participant"], row["pile"]])): row["words"]
        for row in read_texts(road.folder / "pile_words.csv")
    }
    wanted = {}
    for person in PEOPLE:
        for pile, terms in sort_of(person)[0].items():
            words = words_of(person, pile)
            guarded = words.lstrip("=") if kind_of(person) == "xlsx" else words.replace("=", "'=")
            wanted[person, frozenset(terms)] = guarded
    assert found == wanted


def test_minutes_are_kept_of_those_who_told_them(road):
    for row in read_texts(road.folder / "participants.csv"):
        person = row["participant"]
        assert row["population"] == PEOPLE[person]
        if person != ON_SCREEN:
            told = kind_of(person) in ("page", "mail")
            assert row["minutes"] == (f"{minutes_of(person):g}" if told else "")


def test_colours_are_those_that_people_picked(road):
    found = {
        (row["respondent"], row["term"]): row["colour"]
        for row in read_texts(road.folder / "colours.csv")
    }
    wanted = {
        (person, term): colour_of(person, term)
        for person, terms in road.dealt.items()
        for term in terms[:-1]
    }
    assert found == wanted
    assert {len(terms) for terms in road.dealt.values()} == {6}


def test_the_report_rests_on_what_people_sent(road):
    """Pairs are counted here in plain loops over what people sent, and come out of the road."""
    kept = {
        row["participant"]
        for row in read_texts(road.results / "validation" / "participants.csv")
        if row["status"] == "kept"
    }
    assert len(kept) > 12
    together = dict.fromkeys(combinations(sorted(TERMS), 2), 0)
    for person in kept:
        for terms in sort_of(person)[0].values():
            for pair in combinations(sorted(terms), 2):
                together[pair] += 1
    for row in read_texts(road.results / "matrices" / "pooled.together.csv"):
        for term in TERMS:
            if row["term"] < term:
                assert int(row[term]) == together[row["term"], term]
    report = (road.results / "report" / "report.html").read_text(encoding="utf-8")
    assert "Words of a guild" in report
    assert "Each participant sorted the same terms" in report
    assert "showed definitions" not in report


def test_peoples_words_are_candidates_and_nobodys_alone(road):
    tells = hits(files_in(road.results, ["validation"]), ["Spice", "=Roots", ONE_PERSONS])
    told = set().union(*tells.values())
    assert {"spice", "=roots"} <= {word.lower() for word in told}
    assert ONE_PERSONS not in {word.lower() for word in told}
    rows = read_texts(road.results / "tiers" / "word_candidates.csv")
    assert all(int(row["people"]) >= 3 for row in rows)
    assert "'=Roots" in {row["word"] for row in rows}


def test_words_that_begin_as_a_formula_are_text_in_every_workbook(road):
    found = 0
    for path in (road.results / "report").glob("*.xlsx"):
        for sheet in load_workbook(path):
            for row in sheet.iter_rows():
                for cell in row:
                    if "=Roots" in str(cell.value):
                        found += 1
                        assert cell.data_type in ("s", "inlineStr"), (path.name, cell.coordinate)
    assert found


def test_who_withdraws_is_gone_from_the_folder_and_results_are_named(road, tmp_path):
    home = tmp_path / "copy"
    shutil.copytree(road.home, home, ignore=shutil.ignore_patterns(".snakemake"))
    folder = home / STUDY
    said = typed("withdraw", STUDY, GONE, cwd=home)
    assert f"results/{STUDY}: run the study again" in said
    for path, data in bytes_of(folder).items():
        assert GONE not in str(path.relative_to(folder))
        assert GONE.encode() not in data, path
    assert {row["participant"] for row in read_texts(folder / "sorts.csv")} == set(PEOPLE) - {GONE}
    before = bytes_of(folder)
    typed("gather", STUDY, cwd=home)
    typed("kit", STUDY, cwd=home)
    assert bytes_of(folder) == before
    study = read_study(folder, LIMITS)
    assert set(study.register.participants) == set(PEOPLE) - {GONE}
