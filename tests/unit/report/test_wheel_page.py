"""The interactive wheel: complete on the ring and in the list, and reached by keys."""

import base64
import io
import re

import pytest
from felloe.errors import StudyError
from felloe.provenance import LIBRARY
from felloe.report.chart import chart_terms
from felloe.report.screen.wheel_page import wheel_page
from felloe.report.sheet.name_fitting import has_name
from felloe.report.typeface.faces import behind_folder
from felloe.report.typeface.shaping import typesetter
from fontTools.ttLib import TTFont
from test_chart import chart_of
from wheel_page_example import PAGE_WORDS, WEAK, changed, written


def pieces(read):
    return [found for _, found in read.all("g") if "piece" in (found.get("class") or "").split()]


def listed(read, tier):
    return [found["data-key"] for _, found in read.all("li", **{"data-tier": tier})]


def named_subclasses(chart):
    return [
        f"subclass-{subclass['id']}"
        for class_ in chart["classes"]
        for subclass in class_["subclasses"]
        if has_name(subclass, class_)
    ]


def test_every_class_term_and_named_subclass_can_be_chosen_on_the_wheel(read, chart):
    expected = {f"term-{term['id']}" for _, _, term in chart_terms(chart)}
    expected |= {f"class-{class_['id']}" for class_ in chart["classes"]}
    expected |= set(named_subclasses(chart))
    assert {each["data-key"] for each in pieces(read)} == expected


def test_nothing_that_can_be_chosen_stands_in_something_else_that_can(page):
    depth = deepest = 0
    for tag in re.findall(r"<g[^>]*>|</g>", page):
        if tag == "</g>":
            depth = max(0, depth - 1)
        elif depth or 'role="img"' in tag:
            depth += 1
            deepest += depth > 1 and 'role="img"' in tag
    assert 'role="img"' in page
    assert deepest == 0


def test_the_list_has_every_term_in_the_order_of_the_wheel(read, chart):
    off_ring = {f"term-{t['id']}" for _, _, t in chart_terms(chart, True) if t["start_deg"] is None}
    terms = listed(read, "term")
    drawn = [each["data-key"] for each in pieces(read) if each["data-key"].startswith("term-")]
    assert off_ring
    assert [term for term in terms if term not in off_ring] == drawn
    assert set(terms) - set(drawn) == off_ring


def test_the_list_has_the_same_tiers(read, chart):
    assert listed(read, "class") == [f"class-{class_['id']}" for class_ in chart["classes"]]
    assert listed(read, "subclass") == named_subclasses(chart)


def test_every_term_has_definition_reference_and_caution_in_the_list(read, chart):
    for field in ("definition", "reference", "caution"):
        told = read.told(field)
        assert sorted(told) == sorted(term[field] for _, _, term in chart_terms(chart, True))


def test_the_notice_is_told_near_the_panel_and_leads_to_the_whole(chart, page):
    short = page.index(PAGE_WORDS["page.notice_short"])
    assert page.index('id="panel"') < short < page.index('id="list"')
    assert 'href="#notice"' in page[short : page.index('id="list"')]
    assert page.count('id="notice"') == 1
    bare = written(changed(chart, lambda term: term.update(reference="")))
    assert "#notice" not in bare


def test_nothing_on_the_wheel_can_be_operated_until_the_script_runs(read):
    assert {each["role"] for each in pieces(read)} == {"img"}
    assert not any("tabindex" in each for each in pieces(read))


def test_a_name_in_two_lines_is_read_as_one(read, chart):
    labels = {f"term-{term['id']}": term["label"] for _, _, term in chart_terms(chart)}
    for each in pieces(read):
        if each["data-key"] in labels:
            assert each["aria-label"].startswith(f"{labels[each['data-key']]}, term in ")
    looks = [found for _, found in read.all("g") if found.get("class") == "look"]
    assert len(looks) == len(pieces(read))
    assert all(found["aria-hidden"] == "true" for found in looks)


def test_ids_are_unique(read):
    ids = [found["id"] for _, found in read.elements if "id" in found]
    assert len(ids) == len(set(ids))


def test_writing_twice_gives_the_same_bytes(chart, page):
    assert written(chart) == page


def test_a_page_of_100_terms_is_under_1_mb(tmp_path):
    chart = chart_of(tmp_path, n_classes=10, n_terms=100)

    def change(term):  # as much text as the demo's longest entries
        term.update(definition="What it smells of. " * 8, reference="As served. " * 12)
        term["caution"] = "Allergens. " * 8

    page = written(changed(chart, change))
    assert len(page.encode("utf-8")) < 1_000_000


def test_fonts_stand_in_the_page_once(page):
    faces = re.findall(r"@font-face\{font-family:([^;]+);font-weight:(\d+);font-style:(\w+)", page)
    assert ('"Fira Sans Condensed"', "400", "normal") in faces
    assert len(faces) == len(set(faces))


def test_text_beside_the_wheel_tries_the_same_fonts(page):
    body = re.findall(r"body \{ font-family: ([^;]*);", page)[-1]
    assert body.startswith('"Fira Sans Condensed"')


def test_letters_that_no_font_has_are_a_fault_that_names_the_term(tmp_path):
    chart = chart_of(tmp_path, n_classes=3, n_terms=12, words=("味噌", "brine"))
    with pytest.raises(StudyError, match="味噌"):
        written(chart)


def test_page_and_report_lead_to_each_other(page):
    report = (LIBRARY / "report" / "telling" / "report.html.j2").read_text(encoding="utf-8")
    assert 'href="report.html"' in page
    assert 'href="wheel.html"' in report


def test_a_provisional_chart_says_so_in_the_middle_and_in_the_title(small):
    page = written({**small, "provisional": True})
    assert ">provisional</text>" in page
    assert "(provisional)</h1>" in page
    assert "provisional" not in written(small)


@pytest.mark.parametrize("own", [True, False])
def test_a_font_of_the_study_sets_what_is_said_of_words_too(small, own):
    # Armenian: the sheet's family has none of it, the font given as the study's own has
    chart = changed(small, lambda term: term.update(definition="Համ աղի"))
    further = (str(behind_folder() / "DejaVuSans.ttf"),) if own else ()
    page = wheel_page(chart, typesetter(further), WEAK)
    letters = set()
    for data in re.findall(r"url\(data:font/[^;]+;base64,([^)]*)\)", page):
        with TTFont(io.BytesIO(base64.b64decode(data))) as font:
            letters |= set(font.getBestCmap())
    assert (set(map(ord, "Համաղի")) <= letters) == own
