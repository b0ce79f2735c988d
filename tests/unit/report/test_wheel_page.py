"""The interactive wheel: complete, the same as in words, and deaf to whatever labels say."""

import base64
import hashlib
import json
import re
from html.parser import HTMLParser

import pytest
from felloe.report.chart import chart_terms
from felloe.report.wheel_drawing import RINGS, outline, segment, width_of
from felloe.report.wheel_page import script_json, wheel_page
from test_chart import chart_of

HOSTILE = (
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(2)</script>",
    "<!-- <script>",
    '" onload="alert(3)',
    "{{ 7 * 7 }}",
    "&lt;b&gt;",
    "javascript:alert(4)",
)
EMPTY = {"meta", "path", "circle", "rect", "input", "br", "link"}


class Reader(HTMLParser):
    """Collects elements, attributes and text as a browser's parser would find them."""

    def __init__(self, page):
        super().__init__()
        self.elements, self.open, self.content = [], [], {}
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))
        if tag not in EMPTY:
            self.open.append((tag, len(self.elements) - 1))

    def handle_endtag(self, tag):
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, text):
        for _, at in self.open:
            self.content[at] = self.content.get(at, "") + text

    def all(self, tag, **attributes):
        wanted = attributes.items()
        return [
            (at, found)
            for at, (name, found) in enumerate(self.elements)
            if name == tag and all(found.get(key.rstrip("_")) == value for key, value in wanted)
        ]


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("page"))


@pytest.fixture(scope="module")
def page(chart):
    return wheel_page(chart)


@pytest.fixture(scope="module")
def read(page):
    return Reader(page)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile")
    chart = chart_of(folder, n_classes=3, n_terms=14, words=HOSTILE)
    chart["title"] = chart["instruction"] = HOSTILE[1]
    chart["classes"][0]["name"] = HOSTILE[0]
    return chart


def segments(read):
    return [found for _, found in read.all("g") if "seg" in (found.get("class") or "").split()]


def test_every_class_subclass_and_term_has_a_segment(read, chart):
    expected = {f"term-{term['id']}" for _, _, term in chart_terms(chart)}
    expected |= {f"class-{class_['id']}" for class_ in chart["classes"]}
    expected |= {f"subclass-{s['id']}" for c in chart["classes"] for s in c["subclasses"]}
    assert {each["data-key"] for each in segments(read)} == expected


def test_the_words_have_the_same_terms_in_the_same_order_as_the_graphic(read, chart):
    listed = [found["data-term"] for _, found in read.all("li", class_="term")]
    off_ring = {t["id"] for _, _, t in chart_terms(chart, True) if t["start_deg"] is None}
    drawn = [each["data-key"][5:] for each in segments(read) if each["data-tier"] == "term"]
    assert [term for term in listed if term not in off_ring] == drawn
    assert set(listed) - set(drawn) == off_ring


def test_the_words_have_the_same_tiers(read, chart):
    names = [read.content[at] for at, _ in read.all("span", class_="tier1")]
    assert names == [class_["name"] for class_ in chart["classes"]]
    names = [read.content[at] for at, _ in read.all("span", class_="tier2")]
    assert names == [s["name"] for c in chart["classes"] for s in c["subclasses"]]


def test_every_reference_in_words_has_its_caution(read, chart):
    cautions = read.all("span", class_="caution")
    assert len(cautions) == sum(1 for _, _, t in chart_terms(chart, True) if t["reference"])


def test_a_reference_without_a_caution_says_so(chart):
    bare = json.loads(json.dumps(chart))
    for _, _, term in chart_terms(bare):
        term["caution"] = None
    assert "not stated: ask before use" in wheel_page(bare)


def test_the_panel_has_everything_about_a_term(page, read, chart):
    (at, _) = read.all("script", id="data")[0]
    data = json.loads(read.content[at])
    _, _, term = next(chart_terms(chart))
    entry = data[f"term-{term['id']}"]
    for field in ("definition", "reference", "caution"):
        assert entry[field] == term[field]
    facts = dict(entry["facts"])
    assert facts["Status"].startswith(term["status"])
    assert len(facts["Most often put with it, by share of participants"].split(", ")) == 5


def test_exactly_one_segment_is_reached_by_the_tab_key(read):
    assert [each["tabindex"] for each in segments(read)].count("0") == 1


def test_every_segment_has_a_name_and_a_role(read):
    assert all(each["role"] == "button" and each["aria-label"] for each in segments(read))


def test_ids_are_unique(read):
    ids = [found["id"] for _, found in read.elements if "id" in found]
    assert len(ids) == len(set(ids))


def test_the_page_asks_no_network_for_anything(page):
    addresses = set(re.findall(r"""(?:https?:)?//[\w.-]+\.\w+""", page))
    assert addresses == {"http://www.w3.org"}  # the name of the SVG namespace, never fetched
    assert not re.search(r"@import|url\(", page)


def test_only_this_script_and_this_style_may_run(page, read):
    policy = next(f["content"] for _, f in read.all("meta") if "Content-Sec" in str(f))
    for tag in ("script", "style"):
        at = read.all(tag)[-1][0]
        digest = hashlib.sha256(read.content[at].encode("utf-8")).digest()
        assert f"{tag}-src 'sha256-{base64.b64encode(digest).decode()}'" in policy
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


def test_labels_with_markup_make_no_elements(hostile):
    read = Reader(wheel_page(hostile))
    assert read.all("img") == []
    assert len(read.all("script")) == 2


def test_labels_with_markup_make_no_attributes(hostile):
    read = Reader(wheel_page(hostile))
    names = {name for _, found in read.elements for name in found}
    assert [name for name in names if name.startswith("on")] == []


def test_labels_with_markup_are_shown_as_they_are(hostile):
    read = Reader(wheel_page(hostile))
    labels = [read.content[at] for at, _ in read.all("b")]
    assert set(HOSTILE) <= set(labels)


def test_json_in_a_page_cannot_end_its_element():
    text = script_json({"a": "</script><!--&"})
    assert not set("<>&") & set(text)
    assert json.loads(text) == {"a": "</script><!--&"}


def test_writing_twice_gives_the_same_bytes(chart, page):
    assert wheel_page(chart) == page


def test_no_style_attributes_are_needed(page):
    assert " style=" not in page


def test_one_class_that_fills_the_circle_is_drawn():
    path = outline(10, 20, 0, 360)
    start, end = re.match(r"M(\S+ \S+) A20 20 0 1 1 (\S+ \S+)", path).groups()
    assert start != end  # an arc that ends where it starts would not be drawn


def test_a_sector_without_terms_has_no_segment():
    assert segment("class", {"start_deg": None}) is None


def test_widths_are_estimated_wider_than_a_wide_typeface_sets_them():
    # DejaVu Sans is among the widest of the usual faces; matplotlib's metrics of it
    from felloe.report.lettering import text_widths

    measured = text_widths()
    words = (
        "blackcurrant leaf",
        "young sauerkraut",
        "wet cardboard",
        "Salt, bitter, dry",
        "millet",
    )
    assert [w for w in words if width_of(w) < 0.93 * measured(w)] == []


def test_rings_do_not_overlap():
    bounds = [bound for tier in ("class", "subclass", "term") for bound in RINGS[tier]]
    assert bounds == sorted(bounds)


def test_the_page_gives_every_reason_for_a_term_to_be_doubtful(page):
    legend = page[page.index('<ul class="key"') :].split("</ul>")[0]
    assert "of redraws, or its class does not hold, or it depends on how ties are" in legend


def test_a_provisional_chart_says_so_in_the_middle(chart, page):
    assert 'class="provisional"' not in page
    assert '<tspan class="provisional" x="0" y="-42">provisional</tspan>' in wheel_page(
        {**chart, "provisional": True}
    )
