"""The wheel's page asks nobody for anything, and is deaf to whatever labels say."""

import json
import re

import pytest
from felloe.report.filling import script_json
from page_reader import Reader, allowed
from test_chart import chart_of
from wheel_page_example import written

HOSTILE = (
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(2)</script>",
    "<!-- <script>",
    '" onload="alert(3)',
    "{{ 7 * 7 }}",
    "&lt;b&gt;",
    "javascript:alert(4)",
)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile")
    chart = chart_of(folder, n_classes=3, n_terms=14, words=HOSTILE)
    chart["title"] = chart["instruction"] = HOSTILE[1]
    chart["classes"][0]["name"] = HOSTILE[0]
    return chart


def test_the_page_asks_no_network_for_anything(page):
    addresses = set(re.findall(r"""(?:https?:)?//[a-z][\w.-]+\.[a-z]+/""", page))
    assert addresses == {"http://www.w3.org/"}  # the name of the SVG namespace, never fetched
    assert not re.search(r"@import|url\((?!data:)", page)


def test_only_this_script_and_this_style_may_run(page, read):
    policy = next(f["content"] for _, f in read.all("meta") if "Content-Sec" in str(f))
    for tag in ("script", "style"):
        at = read.all(tag)[-1][0]
        assert f"{tag}-src {allowed(read.content[at])}" in policy
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


def test_labels_with_markup_make_no_elements(hostile):
    read = Reader(written(hostile))
    assert read.all("img") == []
    assert len(read.all("script")) == 2


def test_labels_with_markup_make_no_attributes(hostile):
    read = Reader(written(hostile))
    names = {name for _, found in read.elements for name in found}
    assert [name for name in names if name.startswith("on")] == []


def test_labels_with_markup_are_shown_as_they_are(hostile):
    read = Reader(written(hostile))
    assert set(HOSTILE) <= {
        found["data-name"] for _, found in read.all("li") if "data-name" in found
    }
    assert set(HOSTILE) <= {read.content.get(at) for at, _ in read.all("span")}


def test_json_in_a_page_cannot_end_its_element():
    text = script_json({"a": "</script><!--&"})
    assert not set("<>&") & set(text)
    assert json.loads(text) == {"a": "</script><!--&"}


def test_no_style_attributes_are_needed(page):
    assert " style=" not in page
