"""What members are told of every older word: page, table and workbook."""

import re
from html.parser import HTMLParser

import openpyxl
import pytest
from compare_editions import main as compare
from edition_study import declared_row, defined_anew, members_of, outputs_in, sides
from felloe.editions.handing_on.members import Between, by_letter, lettered
from felloe.editions.linking.links import Link
from felloe.editions.tables import MEMBERS
from felloe.ground.files.records import read_json, write_json
from felloe.report.languages.language_words import interface_words
from felloe.validation.tables import TERMS as LEXICON

ROWS = [
    declared_row("old-b", "new-b fresh", "split", "two <b>words</b> & one"),
    declared_row("a3", "a3", "redefined", "=1+1 the meaning is wider"),
    declared_row("gone", "b1 c1", "retired", "too wide a word"),
]


class Cells(HTMLParser):
    """The rows of the page's table as texts."""

    def __init__(self, text):
        super().__init__()
        self.rows = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th") and self.rows:
            self.rows[-1].append("")

    def handle_data(self, data):
        if self.rows and self.rows[-1] and data.strip():
            self.rows[-1][-1] += data


@pytest.fixture(scope="module")
def told(settings, inputs, tmp_path_factory):
    folder = tmp_path_factory.mktemp("members")
    newer = defined_anew(inputs["2026"], tmp_path_factory.mktemp("anew"), "a3")
    given = {**settings, **sides(inputs["2016"], newer, ROWS)}
    compare(**given, **outputs_in(folder))
    return given, members_of(given, folder)


def rows_of(paths):
    return {row["term"]: row for row in MEMBERS.read(paths["members"])}


def page_rows(paths):
    return Cells(paths["page"].read_text(encoding="utf-8")).rows


def test_every_older_word_is_told_once(told, inputs):
    words = [row["term"] for row in LEXICON.read(inputs["2016"].terms)]
    assert sorted(rows_of(told[1])) == sorted(words)
    assert all(
        row["what_became_of_it"] and row["where_it_is_now"] for row in rows_of(told[1]).values()
    )


@pytest.mark.parametrize(
    ("term", "became", "place", "why"),
    [
        ("b1", "The same word.", "B1 (class of b1)", ""),
        ("mover", "It was in “class of b1”.", "MOVER (class of a1)", "The sorts"),
        ("old-b", "Divided", "NEW-B (class of b1), FRESH (class of c1)", "two <b>words</b> & one"),
        ("a3", "new definition", "A3 (class of a1)", "=1+1 the meaning"),
        ("gone", "No longer", "Use instead: B1 (class of b1), C1 (class of c1)", "too wide a word"),
    ],
)  # fmt: skip
def test_a_word_is_told_by_what_became_of_it(told, term, became, place, why):
    row = rows_of(told[1])[term]
    assert became in row["what_became_of_it"]
    assert place == row["where_it_is_now"]
    assert row["why"].startswith(why)


def test_page_and_workbook_say_what_the_table_says(told):
    rows = MEMBERS.read(told[1]["members"])
    expected = [[row[name] for name in MEMBERS.names[:4]] for row in rows]
    assert [row for row in page_rows(told[1])[1:] if len(row) == 4] == expected
    sheet = openpyxl.load_workbook(told[1]["workbook"]).active
    cells = [[cell.value or "" for cell in row] for row in sheet.iter_rows()]
    assert cells[-len(expected) :] == expected
    assert all(cell.data_type in ("s", "n") for row in sheet.iter_rows() for cell in row)


def test_the_workbook_has_the_count_and_the_new_words_of_the_page(settings, compared):
    paths = members_of(settings, compared)
    page = paths["page"].read_text(encoding="utf-8")
    new = re.findall(r'<li dir="auto">(.*?)</li>', page)
    (count,) = re.findall(r"For \d+ of the \d+ old words there is no change to tell\.", page)
    book = openpyxl.load_workbook(paths["workbook"])
    old, fresh = (sheet_texts(book[name]) for name in ("Old words", "New words"))
    assert count in old
    assert new == ["FRESH (class of c1)"]
    assert fresh[-1:] == new


def sheet_texts(sheet):
    return [row[0].value for row in sheet.iter_rows()]


def test_the_table_says_how_each_word_was_linked(told):
    relations = {term: row["relation"] for term, row in rows_of(told[1]).items()}
    odd = {term: relation for term, relation in relations.items() if relation != "exact"}
    assert odd == {"old-b": "split", "a3": "redefined", "gone": "retired"}


def test_text_of_a_study_is_shown_as_text(told):
    text = told[1]["page"].read_text(encoding="utf-8")
    assert "<b>" not in text
    assert "two &lt;b&gt;words&lt;/b&gt; &amp; one" in text


def test_a_page_loads_nothing_and_runs_nothing(told):
    text = told[1]["page"].read_text(encoding="utf-8")
    assert "default-src 'none'" in text
    assert not re.search(r"<script|<img|<link|url\(|https?:", text)


def test_words_stand_by_letter(told):
    rows = page_rows(told[1])[1:]
    letters = [row[0] for row in rows if len(row) == 1]
    assert letters == ["A", "B", "C", "G", "M", "O"]
    under = [row[0] for row in rows if len(row) == 4]
    assert under == sorted(under)


def test_accents_do_not_part_words_and_signs_come_last():
    words = ["zest", "élan", "elm", "(5) five", "Äpfel", "apt"]
    assert sorted(words, key=by_letter) == ["Äpfel", "apt", "élan", "elm", "zest", "(5) five"]


def test_telling_twice_gives_the_same_bytes(told, tmp_path):
    given, paths = told
    for name in ("comparison.json", "terms.csv"):
        (tmp_path / name).write_bytes((paths["page"].parent / name).read_bytes())
    again = members_of(given, tmp_path)
    assert all(again[name].read_bytes() == paths[name].read_bytes() for name in paths)


def test_a_word_that_leads_nowhere_says_so(settings, unrelated):
    row = rows_of(members_of(settings, unrelated))["gone"]
    assert "no class the place of its old class, “class of c1”" in row["where_it_is_now"]
    assert row["why"] == "The reason was not written down."


def test_a_retired_word_leads_to_what_its_class_became(settings, compared):
    row = rows_of(members_of(settings, compared))["gone"]
    assert row["where_it_is_now"].endswith("Its class, “class of c1”, lives on.")


def test_members_read_the_language_of_the_newer_study(told, tmp_path):
    given, paths = told
    about = read_json(given["newer_about"])
    write_json(tmp_path / "study.json", {**about, "language": "de"})
    for name in ("comparison.json", "terms.csv"):
        (tmp_path / name).write_bytes((paths["page"].parent / name).read_bytes())
    text = members_of({**given, "newer_about": tmp_path / "study.json"}, tmp_path)["page"]
    text = text.read_text(encoding="utf-8")
    assert '<html lang="de">' in text
    assert "Was aus den alten Wörtern wurde" in text
    assert "Nicht mehr im Vokabular." in text


def test_a_mark_stands_on_page_and_workbook(told, tmp_path):
    given, paths = told
    record = read_json(paths["page"].parent / "comparison.json")
    write_json(tmp_path / "comparison.json", {**record, "preview": True})
    (tmp_path / "terms.csv").write_bytes((paths["page"].parent / "terms.csv").read_bytes())
    found = members_of(given, tmp_path)
    assert "PREVIEW" in found["page"].read_text(encoding="utf-8")
    assert "PREVIEW" in openpyxl.load_workbook(found["workbook"]).active["A1"].value


BLANK = {"class_name_older": "Old", "class_name_newer": "Now", "class_older": "old",
         "relation": "stayed", "migration": "none", "decided_newer": False}  # fmt: skip


def between(older, newer, links, **fate):
    fates = [{**BLANK, "term": term, "change": "kept", **fate} for term in newer]
    return Between(older, newer, links, fates, [], interface_words("en"))


def entry(term, label, definition="", reference=""):
    texts = {"label": label, "definition": definition, "reference": reference}
    return {term: {**texts, "renamed_from": ""}}


@pytest.mark.parametrize(
    ("relation", "label", "definition", "said"),
    [
        ("exact", "salty", "D.", "The same word."),
        ("exact", "saline", "D.", "The same word, now written “saline”."),
        ("exact", "salty", "E.", "The same word; its definition is worded anew."),
        ("renamed", "saline", "D.", "Now called “saline”."),
        ("redefined", "saline", "E.", "Now called “saline”, with a new definition."),
        ("redefined", "salty", "E.", "The same word with a new definition."),
    ],
)
def test_a_word_that_is_one_to_one_is_told_by_what_changed(relation, label, definition, said):
    links = [Link(("salt",), ("salt",), relation)]
    (one,) = between(entry("salt", "salty", "D."), entry("salt", label, definition), links).told()
    assert one.became == said


def test_a_word_may_have_another_reference_alone():
    links = [Link(("salt",), ("salt",), "redefined", "the old one is no longer sold")]
    was, now = entry("salt", "salty", "D.", "Brine."), entry("salt", "salty", "D.", "Sea salt.")
    (one,) = between(was, now, links).told()
    assert (one.became, one.same) == ("The same word with a new reference.", False)


@pytest.mark.parametrize(
    ("definition", "said"),
    [
        ("D.", "Only its name changed; its definition is the same."),
        ("E.", "The reason was not written down."),
    ],
)
def test_a_name_that_changed_needs_no_reason_if_the_definition_stayed(definition, said):
    links = [Link(("salt",), ("brine",), "renamed")]
    was, now = entry("salt", "salty", "D."), entry("brine", "briny", definition)
    (one,) = between(was, now, links).told()
    assert (one.why, one.given) == (said, False)


def test_merged_words_name_one_another():
    older = entry("ash", "ash") | entry("tar", "tar")
    found = between(older, entry("smoke", "smoke"), [Link(("ash", "tar"), ("smoke",), "merged")])
    assert [one.became for one in found.told()] == [
        "Now one word with: tar.", "Now one word with: ash.",
    ]  # fmt: skip
    assert [letter for letter, _ in lettered(found.told())] == ["A", "T"]


@pytest.mark.parametrize("grade", ["possible", "noise", "none"])
def test_a_move_that_is_not_robust_is_not_announced(grade):
    moved = {"relation": "moved", "migration": grade}
    links = [Link(("salt",), ("salt",), "exact", source="same_id")]
    (one,) = between(entry("salt", "salt"), entry("salt", "salt"), links, **moved).told()
    assert one.same
