"""The search of the wheel's page in a real browser."""

import pytest
from browsing import SIZES, address, heading
from felloe.report.chart import chart_terms
from felloe.report.sheet.name_fitting import has_name


@pytest.mark.parametrize(
    ("typed", "label"), [("jalapeno", "jalapeño"), ("CREME fraiche", "crème fraîche")]
)
def test_search_needs_no_accents_and_no_capitals(wheel, typed, label):
    with wheel() as page:
        page.fill("#search", typed)
        assert page.locator("#hits button").first.inner_text().startswith(label)


def test_search_looks_into_definitions_references_and_cautions(wheel, chart):
    with wheel() as page:
        for field in ("definition", "reference", "caution"):
            for _, _, term in list(chart_terms(chart))[:6]:
                if not term[field]:
                    continue
                page.fill("#search", term[field])
                keys = page.locator("#hits button").all_inner_texts()
                assert any(text.startswith(term["label"]) for text in keys), (field, term["label"])


def test_search_finds_classes_and_subclasses_and_counts(wheel, chart):
    class_ = next(one for one in chart["classes"] if not one["name_is_proposal"])
    subclass = next(
        part for one in chart["classes"] for part in one["subclasses"] if has_name(part, one)
    )
    with wheel() as page:
        for name, tier in ((class_["name"], "Class"), (subclass["name"], "Subclass")):
            page.fill("#search", name)
            hits = page.locator("#hits button").all_inner_texts()
            assert any(hit.startswith(name) and tier in hit for hit in hits)
            assert page.inner_text("#found") == f"{len(hits)} found"


def test_what_was_searched_is_repeated_as_it_was_typed(wheel):
    typed = "a $& b $' c $$"  # what a replacement in a script would fill in
    with wheel() as page:
        page.fill("#search", typed)
        assert f"\u201c{typed}\u201d" in page.inner_text("#found")


def test_search_that_finds_nothing_says_so(wheel):
    with wheel() as page:
        page.fill("#search", "zzzq")
        assert "zzzq" in page.inner_text("#found")
        assert page.locator("#hits button").count() == 0


def test_enter_in_the_search_chooses_the_first_that_was_found(wheel):
    with wheel() as page:
        page.fill("#search", "jalapeno")
        page.press("#search", "Enter")
        assert heading(page) == "jalapeño"


def test_enter_in_the_search_opens_the_word_in_the_list_of_a_phone(wheel, chart):
    _, subclass, term = next(
        (one, part, term)
        for one in chart["classes"][1:]
        for part in one["subclasses"]
        for term in part["terms"]
        if has_name(part, one)
    )
    key = f"term-{term['id']}"
    with wheel(size="phone") as page:
        page.locator(".class-item > summary").first.click()  # another class is open
        page.fill("#search", term["label"])
        page.press("#search", "Enter")
        assert address(page) == f"#{key}"
        page.wait_for_timeout(100)  # a key that is let go, and what opening one class closes
        item = page.locator(f'#list [data-key="{key}"]')
        assert item.locator(".about").is_visible()
        assert 0 <= item.bounding_box()["y"] < SIZES["phone"][1]
        page.fill("#search", subclass["name"])
        page.press("#search", "Enter")
        assert page.locator(f'#list [data-key="subclass-{subclass["id"]}"] .terms').is_visible()


def test_the_key_of_the_search_is_offered_to_those_who_have_keys(wheel):
    with wheel() as page:
        assert page.is_visible("#shortcut")
    with wheel(size="phone", has_touch=True, is_mobile=True) as page:
        assert page.is_visible("#scheme")
        assert not page.is_visible("#shortcut")


def test_the_key_of_the_search_can_be_switched_off(wheel):
    focus = "document.activeElement.id"
    with wheel() as page:
        page.keyboard.press("/")
        assert page.evaluate(focus) == "search"
        assert page.input_value("#search") == ""
        page.uncheck("#shortcut")
        page.reload()
        page.keyboard.press("/")
        assert page.evaluate(focus) != "search"
