"""The page of cards: nothing loaded, headings in order, texts shown as text, print of A6."""

import re

import pytest
from card_example import chart_with, term
from card_reading import in_order, page_of
from page_reader import Reader, allowed

HOSTILE = ("<img src=x onerror=alert(1)>", "</style><script>alert(2)</script>", "{{ 7 * 7 }}")


def test_the_page_loads_nothing_and_allows_its_own_style_alone(chart):
    page = page_of(chart)
    reader = Reader(page)
    tags = {tag for tag, _ in reader.elements}
    assert not tags & {"script", "img", "link", "iframe", "object"}
    assert not re.search(r"url\((?!\"data:)", page)
    assert not re.search(r"https?://", page)
    (policy,) = [a["content"] for _, a in reader.elements if "http-equiv" in a]
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL).group(1)
    assert allowed(style) in policy
    assert "default-src 'none'" in policy
    assert not [attributes for _, attributes in reader.elements if "style" in attributes]


def test_the_page_has_headings_per_class_and_a_card_for_every_term_in_order(chart):
    reader = Reader(page_of(chart))
    named = [a["id"] for tag, a in reader.elements if tag == "article"]
    expected = []
    for class_ in chart["classes"]:
        expected.append(f"class-{class_['id']}")
        expected += [f"term-{t['id']}" for c, _, t in in_order(chart) if c is class_]
    assert named == expected
    levels = [tag for tag, _ in reader.elements if re.fullmatch(r"h\d", tag)]
    assert levels[0] == "h1"
    assert levels.count("h1") == 1
    assert levels.count("h2") == len(chart["classes"])
    assert levels.count("h3") == len(list(in_order(chart)))
    assert not [a for _, a in reader.elements if int(a.get("tabindex", "0")) > 0]
    targets = {a["href"][1:] for tag, a in reader.elements if tag == "a"}
    assert targets == {f"class-{class_['id']}" for class_ in chart["classes"]}
    ids = [a["id"] for _, a in reader.elements if "id" in a]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("text", HOSTILE)
def test_whatever_a_text_holds_is_shown_as_text(text):
    given = dict.fromkeys(("label", "definition", "reference", "caution"), text)
    chart = chart_with([term("a", **given)], title=text)
    chart["classes"][0]["name"] = text
    reader = Reader(page_of(chart, (text,)))
    assert not {"img", "script"} & {tag for tag, _ in reader.elements}
    assert reader.text.count(text) >= 7


def test_print_is_a6(chart):
    assert "@page { size: 105mm 148mm; margin: 0; }" in page_of(chart)
