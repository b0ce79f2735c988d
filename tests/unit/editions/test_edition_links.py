"""How terms of two editions are linked: what was declared, what follows, what cannot be."""

import pytest
from felloe.editions.linking.link_faults import Declared, Lexicons, link_faults, misspelt_studies
from felloe.editions.linking.links import (
    EXACT,
    MERGED,
    NEW,
    REDEFINED,
    RENAMED,
    RETIRED,
    SPLIT,
    Link,
    all_links,
    common_pairs,
)
from felloe.editions.linking.suggested import LIKE, likeness, suggested_links
from felloe.errors import SCREEN_LINES, StudyError
from felloe.validation.tables import CROSSWALK, FAULTS
from felloe.validation.tables import TERMS as LEXICON
from link_editions import main as link_step


def lexicon(*terms, **more):
    """Terms, each with its id as label and a definition of its own; `more` changes single cells."""
    rows = {}
    for term in terms:
        rows[term] = {
            "term": term, "label": term, "definition": f"D {term}.", "reference": f"R {term}.",
            "renamed_from": "",
        }  # fmt: skip
        rows[term] |= more.get(term, {})
    return rows


def faults(older, newer, *links):
    declared = [Declared(link, line) for line, link in enumerate(links, start=2)]
    return link_faults(Lexicons(older, newer, "y2016", "y2026", "study/crosswalk.csv"), declared)


def link(older, newer, relation, reason="why"):
    return Link(tuple(older.split()), tuple(newer.split()), relation, reason)


def test_every_term_of_both_editions_is_linked_once():
    older = lexicon("kept", "was", "whole", "one", "two", "gone", "forgotten")
    newer = lexicon("kept", "now", "half", "rest", "both", "fresh", now={"renamed_from": "was"})
    declared = [
        link("whole", "half rest", SPLIT),
        link("one two", "both", MERGED),
        link("gone", "kept", RETIRED),
    ]
    found = all_links(older, newer, declared)
    assert sorted(term for each in found for term in each.older) == sorted(older)
    assert sorted(term for each in found for term in each.claimed) == sorted(newer)
    assert {(each.relation, each.source) for each in found} == {
        (SPLIT, "crosswalk"), (MERGED, "crosswalk"), (RETIRED, "crosswalk"),
        (RENAMED, "renamed_from"), (EXACT, "same_id"), (NEW, "nowhere"), (RETIRED, "nowhere"),
    }  # fmt: skip


def test_what_everything_is_computed_on_are_the_terms_that_are_one_to_one():
    links = [
        link("b", "a", RENAMED), link("c", "c", EXACT), link("d", "b", REDEFINED),
        link("e", "e f", SPLIT), link("g h", "g", MERGED), link("i", "", RETIRED),
        link("", "j", NEW),
    ]  # fmt: skip
    assert common_pairs(links) == [("b", "a"), ("d", "b"), ("c", "c")]


def test_renamed_from_is_a_shorthand_for_the_row():
    older, plain = lexicon("was", "kept"), lexicon("now", "kept")
    short = lexicon("now", "kept", now={"renamed_from": "was"})
    row = Link(("was",), ("now",), RENAMED)
    assert all_links(older, short, ()) == all_links(older, plain, [row])


OLDER = lexicon("salt", "sour", "sweet", "old", "older")
NEWER = lexicon("salt", "sour", "sweet", "fresh", "fresher", "same", same={"label": "old"})
REFUSED = {
    "an unknown older id": (link("sor", "fresh", RENAMED), "older", "no term of 'y2016'", "'sour'"),
    "a retired term that is still there": (
        link("salt", "", RETIRED), "older", "is retired, and 'y2026' still has it", "Delete",
    ),
    "a new term that has an older one": (
        link("", "salt", NEW), "newer", "is no new term", "Delete",
    ),
    "a term renamed that is still there": (
        link("salt", "fresh", RENAMED), "older", "is still a term of 'y2026'", "under newer too",
    ),
    "a term split that is still there": (
        link("salt", "fresh fresher", SPLIT), "older", "is still a term", "under newer too",
    ),
    "a newer term with another past": (
        link("old", "salt", RENAMED), "newer", "is a term of 'y2016' too", "under older too",
    ),
    "renamed with the same label": (
        link("old", "same", RENAMED), "newer", "has the label 'old' as before", "older id 'old'",
    ),
    "redefined with nothing changed": (
        link("salt", "salt", REDEFINED), "newer", "same label, definition and reference",
        "new definition or reference",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_is_told_with_line_column_and_cure(name):
    row, column, problem, remedy = REFUSED[name]
    (fault,) = faults(OLDER, NEWER, link("older", "", RETIRED), row)
    assert (fault.file, fault.line, fault.column) == ("study/crosswalk.csv", 3, column)
    assert problem in fault.problem
    assert remedy in fault.remedy


@pytest.mark.parametrize("column", ["label", "definition", "reference"])
def test_whatever_changed_of_its_meaning_a_term_may_be_said_to_be_redefined(column):
    newer = lexicon("salt", salt={column: "Something else."})
    assert faults(lexicon("salt"), newer, link("salt", "salt", REDEFINED)) == []


def test_two_words_may_change_places():
    rows = link("salt", "sour", RENAMED), link("sour", "salt", RENAMED)
    assert faults(OLDER, NEWER, *rows) == []


def test_a_term_may_stay_in_a_narrower_or_a_wider_sense():
    rows = link("salt", "salt fresh", SPLIT), link("sour old", "sour", MERGED)
    assert faults(OLDER, NEWER, *rows) == []


def test_a_row_and_renamed_from_of_another_term_may_not_claim_one_older_id():
    newer = lexicon("salt", "fresh", "fresher", fresher={"renamed_from": "old"})
    (fault,) = faults(OLDER, newer, link("old", "fresh", RENAMED))
    assert (fault.file, fault.column) == ("study/terms.csv", "renamed_from")


def test_rows_about_another_older_study_are_left_aside():
    cells = {"older": ("a",), "newer": ("b",), "relation": RENAMED, "reason": "", "line": 2}
    rows = [{**cells, "older_study": name} for name in ("y2016", "", "y2006")]
    assert len(Declared.of(rows, "y2016")) == 2


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        # Ratcliff & Metzener (1988): twice the letters in common blocks, by the letters of both
        ("beet", "beets", 2 * 4 / 9),
        ("malt", "salt", 2 * 3 / 8),
        ("sour dough", "sourdough", 1.0),
        ("Crème fraîche", "creme-fraiche", 1.0),
        ("abc", "xyz", 0.0),
        ("!", "?", 0.0),
    ],
)
def test_likeness_is_that_of_the_letters(one, other, expected):
    assert likeness(one, other) == likeness(other, one) == pytest.approx(expected)


def suggested(older, newer, *declared):
    return suggested_links(older, newer, all_links(older, newer, declared))


def test_what_is_spelt_nearly_alike_is_proposed_and_not_assumed():
    older, newer = lexicon("beets", "tar", "kept"), lexicon("beet", "smoke", "kept")
    (found,) = suggested(older, newer)
    assert (found.older, found.newer, found.relation, found.reason) == (
        ("beets",), ("beet",), RENAMED, "suggested",
    )  # fmt: skip
    assert common_pairs(all_links(older, newer, ())) == [("kept", "kept")]


def test_a_label_counts_as_well_as_an_id_and_each_term_once():
    older = lexicon("a", "b", a={"label": "green tomato"}, b={"label": "green tomatoe"})
    newer = lexicon("x", x={"label": "green tomatos"})
    (found,) = suggested(older, newer)
    both = {row["term"]: likeness(row["label"], "green tomatos") for row in older.values()}
    assert found.older == (max(both, key=both.get),)
    assert min(both.values()) >= LIKE


def test_a_kept_term_with_another_definition_is_proposed_as_redefined():
    older, newer = lexicon("salt"), lexicon("salt", salt={"definition": "Other."})
    assert [each.relation for each in suggested(older, newer)] == [REDEFINED]
    assert suggested(older, newer, link("salt", "salt", EXACT, "")) == []


def test_what_was_declared_is_not_proposed_again():
    older, newer = lexicon("beets"), lexicon("beet")
    assert suggested(older, newer, link("beets", "", RETIRED), Link((), ("beet",), NEW)) == []


def test_every_proposal_is_taken_once_somebody_gave_a_reason():
    older = lexicon("beets", "malty", "salt", "one", one={"label": "tar"})
    newer = lexicon(
        "beet", "malt", "salt", "two",
        salt={"definition": "Other."}, two={"label": "tar", "definition": "Black."},
    )  # fmt: skip
    found = suggested(older, newer)
    assert {each.relation for each in found} == {RENAMED, REDEFINED}
    decided = [Link(each.older, each.newer, each.relation, "we met") for each in found]
    assert faults(older, newer, *decided) == []
    assert len(common_pairs(all_links(older, newer, decided))) == 4


def test_a_term_renamed_twice_is_followed_by_the_row_that_the_cure_names():
    # y2006 beet, y2016 betes, y2026 beets: renamed_from of the last names the second
    first, last = lexicon("beet", "kept"), lexicon("beets", "kept", beets={"renamed_from": "betes"})
    (fault,) = faults(first, last)
    assert (fault.file, fault.value) == ("study/terms.csv", "betes")
    assert "newer 'beets', relation renamed and older_study 'y2016'" in fault.remedy
    rows = [{"older": ("beet",), "newer": ("beets",), "relation": RENAMED, "reason": "",
             "older_study": "y2016", "line": 2}]  # fmt: skip
    declared = Declared.of(rows, "y2016")
    assert link_faults(Lexicons(first, last, "y2016", "y2026"), declared) == []
    second = lexicon("betes", "kept")
    assert link_faults(Lexicons(second, last, "y2020", "y2026"), Declared.of(rows, "y2020")) == []


@pytest.fixture
def refused(tmp_path):
    """The message, and the list, of a crosswalk of many rows that are about another edition."""
    paths = {name: tmp_path / f"{name}.csv" for name in ("older_terms", "newer_terms", "crosswalk")}
    LEXICON.write(paths["older_terms"], lexicon_rows("salt"))
    LEXICON.write(paths["newer_terms"], lexicon_rows("salt"))
    rows = [
        {"older_study": "", "older": (f"far-{n}",), "newer": (), "relation": RETIRED,
         "reason": "why", "line": n + 2}
        for n in range(60)
    ]  # fmt: skip
    CROSSWALK.write(paths["crosswalk"], rows)
    listed = tmp_path / "faults.csv"
    outputs = {"links": tmp_path / "links.csv", "suggested": tmp_path / "suggested.csv"}
    with pytest.raises(StudyError) as refusal:
        link_step(
            **paths, **outputs, older="one", newer="two", faults=listed,
            source="two/crosswalk.xlsx",
        )  # fmt: skip
    return str(refusal.value), listed, outputs


def lexicon_rows(*terms):
    return [dict.fromkeys(LEXICON.names) | row for row in lexicon(*terms).values()]


def test_many_faults_fit_one_screen_and_the_file_holds_all(refused):
    message, listed, outputs = refused
    lines = message.splitlines()
    assert lines[-2] == "... and 45 more."
    assert lines[-1] == f"All 60 faults are listed in {listed}"
    wrapped = [1 + len(line) // 100 for line in lines[:-1]]  # on a screen of 100 columns
    assert sum(wrapped) <= SCREEN_LINES
    assert [row["line"] for row in FAULTS.read(listed)] == list(range(2, 62))
    assert not any(path.exists() for path in outputs.values())


def test_a_fault_names_the_file_that_its_owner_wrote(refused):
    assert refused[0].startswith("two/crosswalk.xlsx, line 2, column 'older'")


@pytest.mark.parametrize(
    ("study", "meant"),
    [("old_one", "old-one"), ("old-one", None), ("", None), ("another-trade", None)],
)
def test_a_row_about_a_misspelt_study_is_not_passed_over(study, meant):
    rows = [{"older_study": study, "line": 4}]
    found = misspelt_studies(rows, ["new-one", "old-one"], "new-one", "new-one/crosswalk.csv")
    assert [(fault.line, fault.column, fault.remedy) for fault in found] == (
        [(4, "older_study", f"Did you mean '{meant}'?")] if meant else []
    )


def test_a_row_about_another_edition_is_told_where_that_is_said():
    (fault,) = faults(lexicon("a"), lexicon("a"), link("faraway", "", RETIRED))
    assert "is no term of 'y2016'" in fault.problem
    assert "older_study" in fault.remedy
    row = {"older": ("faraway",), "newer": (), "relation": RETIRED, "reason": "why", "line": 2}
    declared = Declared.of([{**row, "older_study": "y2016"}], "y2016")
    (fault,) = link_faults(Lexicons(lexicon("a"), lexicon("a"), "y2016", "y2026"), declared)
    assert fault.remedy == "Name a term of it."
