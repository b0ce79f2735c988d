"""The ballot as it is written: marks, languages, the same bytes, nothing taken as markup."""

import io
from dataclasses import replace

import numpy as np
import pytest
from ballot_filling import table
from felloe.ground.people.counts import Counts
from felloe.report.ballot.asking import Asking
from felloe.report.ballot.evidence import Evidence
from felloe.report.ballot.page import ballot_page
from felloe.report.ballot.sources import read_sources
from felloe.report.ballot.wording import Wording
from felloe.report.ballot.workbook import ballot_workbook
from felloe.report.languages.language_words import interface_words
from felloe.tiers.tables import PRICE_WORDS
from openpyxl import load_workbook
from page_reader import Reader, allowed

LIMITS = {"longest_label": 200, "longest_text": 4000}
POPULATIONS = ("makers", "panel", "pooled")
FILES = {
    "chart": "report/chart.json", "about": "validation/study.json",
    "names": "validation/names.csv", "decisions": "validation/decisions.csv",
    "labels": "validation/labels.csv", "distances": "clustering/distances.csv",
    "class_support": "clustering/classes.csv", "data_only": "tiers/data_only.csv",
    "published": "tiers/published.csv", "groups": "tiers/groups.csv",
    "decided": "tiers/decisions.csv", "moves": "tiers/prices.csv",
    "other_classes": "tiers/regroupings.csv", "questions": "tiers/questions.csv",
    "held": "sensitivity/terms.csv", "word_candidates": "tiers/word_candidates.csv",
}  # fmt: skip


@pytest.fixture(scope="module")
def sources(small_results):
    paths = {name: small_results / file for name, file in FILES.items()}
    for kind in ("together", "both"):
        paths[kind] = [small_results / f"matrices/{each}.{kind}.csv" for each in POPULATIONS]
    return read_sources({**paths, "populations": POPULATIONS}, "guild", 0.8)


def page_of(sources, language="en"):
    words = interface_words(language)
    return ballot_page(Asking(sources, words).questions(), sources, words, LIMITS)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("mark", ["provisional", "preview"])
def test_a_chart_with_a_mark_bears_it_on_page_and_spreadsheet(sources, mark, language):
    words = interface_words(language)
    marked = replace(sources, chart={**sources.chart, mark: True})
    assert words[f"marks.{mark}"] in Reader(page_of(marked, language)).text
    plain = replace(sources, chart={**sources.chart, "provisional": False, "preview": False})
    assert words[f"marks.{mark}"] not in Reader(page_of(plain, language)).text
    asked = Asking(marked, words).questions()
    assert ballot_workbook(asked, marked, words) != ballot_workbook(asked, plain, words)


def test_the_same_questions_give_the_same_bytes(sources):
    words = interface_words("en")
    asked = Asking(sources, words).questions()
    assert ballot_workbook(asked, sources, words) == ballot_workbook(asked, sources, words)


def test_every_question_and_every_priced_move_stands_on_the_page(sources, small_results):
    page = Reader(page_of(sources))
    asked = table(small_results / "tiers" / "questions.csv")
    assert len(page.all("section", class_="question")) == len(asked)
    moves = table(small_results / "tiers" / "prices.csv")
    for row in asked:
        if row["tier"] != "term" or row["kind"] == "void":
            continue
        values = {found["value"] for _, found in page.all("input", name=f"q{row['number']}")}
        joined = {one["subclass"] for one in moves if one["term"] == row["subject"]}
        assert {value.split()[1] for value in values if value[:6] in ("beside", "within")} == joined


def test_one_style_and_one_script_are_allowed_and_nothing_else(sources):
    page = Reader(page_of(sources))
    ((_, policy),) = page.all("meta", **{"http-equiv": "Content-Security-Policy"})
    script = next(page.content[at] for at, found in page.all("script") if "type" not in found)
    style = page.content[page.all("style")[0][0]]
    assert f"script-src {allowed(script)};" in policy["content"]
    assert f"style-src {allowed(style)};" in policy["content"]
    assert policy["content"].startswith("default-src 'none'")


def test_what_people_wrote_is_shown_as_text(sources):
    hostile = "<img src=x onerror=alert(1)></script>"
    rows = [{**row, "reason": hostile} for row in sources.decisions]
    chart = {**sources.chart, "title": hostile}
    page = Reader(page_of(replace(sources, decisions=rows, chart=chart)))
    assert not page.all("img")
    assert page.data()["decisions"][0]["reason"] == hostile
    assert hostile in page.text


def test_a_group_is_told_once_in_however_many_languages_it_is_called(sources):
    groups = {(row["tier"], row["id"]) for row in sources.labels if row["tier"] != "term"}
    assert groups
    twice = replace(sources, labels=[*sources.labels, *sources.labels])
    assert Reader(page_of(twice)).data()["labels"] == [list(each) for each in sorted(groups)]


def test_peoples_words_stand_beside_the_question_for_a_name(sources):
    row = next(row for row in sources.questions if row["kind"] == "name")
    own = {"tier": row["tier"], "group": row["subject"]}
    found = {**own, "word": "<b>hearth</b>", "people": 5, "jaccard": 0.75}
    told = "<b>hearth</b> (5 people, 0.75)"
    page = Reader(page_of(replace(sources, word_candidates=[found])))
    assert told in page.text
    assert len(page.all("option", value="<b>hearth</b>")) == 1
    ((_, proposals),) = page.all("datalist")
    assert len(page.all("input", list=proposals["id"])) == 1
    without = page_of(replace(sources, word_candidates=[]))
    assert "hearth" not in without
    assert "datalist" not in without


def test_where_nothing_is_open_it_is_said(sources):
    settled = replace(sources, questions=[])
    assert interface_words("en")["ballot.nothing"] in Reader(page_of(settled)).text


@pytest.mark.parametrize(
    ("share", "told"),
    [
        (0.0, "0"),
        (0.0002, "fewer than 1"),
        (0.01, "1"),
        (0.324, "32"),
        (0.99, "99"),
        (0.9998, "more than 99"),
        (1.0, "100"),
    ],
)
def test_less_than_one_of_100_is_not_told_as_one(sources, share, told):
    assert Wording(sources, interface_words("en")).hundred(share) == told


@pytest.mark.parametrize(
    ("change", "unseen"), [(0.0009, True), (-0.0009, True), (0.0011, False), (-0.0011, False)]
)
def test_a_change_that_the_report_would_not_show_is_told_so(sources, change, unseen):
    row = dict.fromkeys((f"{name}_change" for name in PRICE_WORDS), change)
    told = list(Wording(sources, interface_words("en")).changes(row))
    assert [("no visible difference" in one) for one in told] == [unseen] * 3 + [False]
    assert all(f"{abs(change):.4f}" in one for one in told)


def test_names_of_groups_of_one_word_are_folded_away(sources, small_results):
    page = Reader(page_of(sources))
    lone = [
        row
        for row in table(small_results / "tiers" / "questions.csv")
        if "lone_term" in row["reason"].split(";")
    ]
    assert lone
    ((_, folded),) = page.all("details", id="needless")
    assert "open" not in folded
    text = page_of(sources)
    inside = text[text.index('id="needless"') :]
    for one in page.data()["questions"]:
        named = f'id="q{one["number"]}"'
        assert (named in inside) == (str(one["number"]) in {row["number"] for row in lone})


def test_a_class_that_can_be_dissolved_says_by_which_questions(sources):
    asked = Asking(sources, interface_words("en")).questions()
    of_terms = {one.subject: one.number for one in asked if one.tier == "term"}
    for one in asked:
        if one.kind == "class":
            members = sources.members["class", one.subject]
            assert set(one.ends_by) == {of_terms[term] for term in members if term in of_terms}


def test_support_is_that_of_the_reports_table_of_classes(sources, small_results):
    words = interface_words("en")
    rows = {row["class"]: row for row in table(small_results / "clustering" / "classes.csv")}
    evidence = Evidence(sources, Wording(sources, words))
    for own, row in rows.items():
        if ("class", own) in sources.members and len(sources.members["class", own]) > 1:
            (told,) = evidence.support(own)
            assert f"{float(row['jaccard']):.2f}" in told


def thinned(sources, saw, together):
    """Return sources of a study in parts in which so many of each population saw each pair."""
    counts = {
        name: Counts(one.terms, np.full_like(one.together, together), np.full_like(one.both, saw))
        for name, one in sources.counts.items()
    }
    return replace(sources, in_parts=True, counts=counts)


def questions_told(sources):
    return [line for one in Asking(sources, interface_words("en")).questions()
            for line in one.evidence]  # fmt: skip


@pytest.mark.parametrize(("language", "said"), [("en", "shown a part"), ("de", "ein Teil der")])
def test_page_and_sheet_say_that_few_stand_behind_a_number_of_sorts_in_parts(
    sources, language, said
):
    words, parts = interface_words(language), thinned(sources, 3, 1)
    asked = Asking(parts, words).questions()
    for one, told in ((sources, False), (parts, True)):
        book = load_workbook(io.BytesIO(ballot_workbook(asked, one, words)))
        cells = [str(cell.value) for row in book["about"].iter_rows() for cell in row]
        for text in (Reader(page_of(one, language)).text, "".join(cells)):
            assert (said in text) == told
    labels = [sources.populations[name] for name in POPULATIONS[:2]]
    assert all(f"3 ({label})" in Reader(page_of(parts)).text for label in labels)


@pytest.mark.parametrize(("saw", "told"), [(2, True), (9, True), (10, False)])
def test_how_many_saw_a_pair_stands_beside_a_share_of_a_few(sources, saw, told):
    said = questions_told(thinned(sources, saw, saw // 2))
    assert any(f"(pairs seen by {saw})" in line for line in said) == told
    assert not any("pairs seen by" in line for line in questions_told(sources))


def test_a_pair_that_nobody_saw_counts_as_nothing_and_not_as_apart(sources):
    term = next(row["term"] for row in sources.published
                if len(sources.members["class", row["class"]]) > 2)  # fmt: skip
    group = sources.place[term]["class"]
    parts = thinned(sources, 2, 2)
    one = parts.counts["makers"]
    places = one.terms.places([each for each in parts.members["class", group] if each != term])
    assert parts.leaning("makers", term, group) == 1.0
    for counts in (one.together, one.both):
        counts[one.terms.index(term), places[0]] = 0
    assert parts.leaning("makers", term, group) == 1.0
    for counts in (one.together, one.both):
        counts[one.terms.index(term), places] = 0
    assert np.isnan(parts.leaning("makers", term, group))
