"""The interactive wheel: complete, the same as in words, and deaf to whatever labels say."""

import base64
import hashlib
import io
import json
import re
from html.parser import HTMLParser

import pytest
from felloe.errors import StudyError
from felloe.provenance import LIBRARY
from felloe.report.chart import chart_terms
from felloe.report.languages.language_words import Words, interface_words
from felloe.report.screen.page_words import scripted
from felloe.report.screen.wheel_page import script_json, wheel_page
from felloe.report.sheet.name_fitting import has_name
from felloe.report.typeface.faces import behind_folder
from felloe.report.typeface.shaping import typesetter
from fontTools.ttLib import TTFont
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
PAGE_WORDS = {k: v for k, v in interface_words("en").items() if k.startswith("page.")}
WEAK = 0.5


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

    def handle_startendtag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))

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


def written(chart):
    return wheel_page(chart, typesetter(), WEAK)


def changed(chart, change):
    """Return a copy of a chart, each of its terms changed."""
    copy = json.loads(json.dumps(chart))
    for _, _, term in chart_terms(copy, True):
        change(term)
    return copy


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("page"))


@pytest.fixture(scope="module")
def page(chart):
    return written(chart)


@pytest.fixture(scope="module")
def read(page):
    return Reader(page)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("small"), n_classes=3, n_terms=14)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile")
    chart = chart_of(folder, n_classes=3, n_terms=14, words=HOSTILE)
    chart["title"] = chart["instruction"] = HOSTILE[1]
    chart["classes"][0]["name"] = HOSTILE[0]
    return chart


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
        told = [read.content[at] for at, _ in read.all("p", **{"data-field": field})]
        assert sorted(told) == sorted(term[field] for _, _, term in chart_terms(chart, True))


def test_a_caution_that_nobody_gave_is_not_assessed(small):
    read = Reader(written(changed(small, lambda term: term.update(caution=None))))
    told = {read.content[at] for at, _ in read.all("p", **{"data-field": "caution"})}
    assert told == {"not assessed"}


def test_evidence_is_a_sentence_with_numbers_out_of_100(small):
    def change(term):
        term.update(home_probability=0.62, rival_probability=0.3, rival_class="x")
        term["rival_class_name"] = "Elsewhere"

    class_, _, term = next(chart_terms(small))
    expected = f"Of 100 redraws, 62 put {term['label']} into {class_['name']}, 30 into Elsewhere."
    assert expected in written(changed(small, change))


def test_evidence_that_is_not_there_is_said_to_be_unknown(small):
    page = written(changed(small, lambda term: term.update(home_probability=None)))
    assert "is not known." in page
    assert "of 100 redraws in its class" not in page


def test_a_status_is_told_with_the_charts_own_limits(small):
    limits = {"firm_probability": 0.81, "undecided_probability": 0.43}
    page = written({**changed(small, lambda term: None), "limits": limits})
    assert "Doubtful: fewer than 81 of 100 redraws put it into its class" in page
    assert "Undecided: fewer than 43 of 100 redraws put it into its class" in page


def test_a_word_that_nobody_put_with_another_is_not_called_near_to_it(small):
    def change(term):
        for at, one in enumerate(term["nearest"]):
            one["share_together"] = 0.4 if at == 0 else 0.0

    read = Reader(written(changed(small, change)))
    data = json.loads(read.content[read.all("script", id="data")[0][0]])
    assert {len(found) for found in data["nearest"].values()} == {1}
    assert {found[0][1] for found in data["nearest"].values()} == {0.4}
    assert len(read.all("div", class_="fact nearest")) == sum(1 for _ in chart_terms(small, True))


def test_a_decision_stands_with_its_reason(chart, page):
    moved = [term for _, _, term in chart_terms(chart) if term["decision"]]
    labels = {term["id"]: term["label"] for _, _, term in chart_terms(chart, True)}
    assert moved
    for term in moved:
        decision = term["decision"]
        assert f"Beside {labels[decision['beside']]}: {decision['reason']}" in page


def test_what_a_gap_means_is_said_in_people(chart, page):
    *_, last = [t for part in chart["classes"][0]["subclasses"] for t in part["terms"]]
    share = round(100 * (1 - last["join_height_to_next"]))
    assert f"{share} of 100 people put the two sides of the gap together." in page
    assert "wider" not in " ".join(PAGE_WORDS.values())


def gap(first):
    """Return what is said of the gap after a class, from the chart's own numbers."""
    *_, last = [term for part in first["subclasses"] for term in part["terms"]]
    redraws, people = 100 * first["next_support"], 100 * (1 - last["join_height_to_next"])
    return (
        f"neighbours in {redraws:.0f} of 100 redraws. "
        f"{people:.0f} of 100 people put the two sides of the gap together."
    )


def test_a_class_names_its_neighbours_on_both_sides(small):
    chart = json.loads(json.dumps(small))
    ring = [class_ for class_ in chart["classes"] if class_["start_deg"] is not None]
    assert len(ring) == len(chart["classes"]) == 3
    for at, class_ in enumerate(ring):  # numbers of its own for each gap
        class_["next_support"] = 0.2 + 0.3 * at
        last = [term for part in class_["subclasses"] for term in part["terms"]][-1]
        last["join_height_to_next"] = 0.9 - 0.2 * at
    read = Reader(written(chart))
    told = [read.content[at] for at, _ in read.all("p", **{"data-field": "next"})]
    expected = []
    for at, class_ in enumerate(ring):
        before, after = ring[at - 1], ring[(at + 1) % len(ring)]
        expected += [f"{after['name']}: {gap(class_)}", f"{before['name']}: {gap(before)}"]
    assert [text.replace("?", "") for text in told] == expected


def test_a_chart_of_one_class_names_no_neighbour(small):
    page = written({**small, "classes": small["classes"][:1]})
    assert Reader(page).all("p", **{"data-field": "next"}) == []


@pytest.mark.parametrize(
    ("colour", "told", "dot"),
    [
        ({"n_picks": 0, "reason": "tint_unpicked", "picked": None}, "Nobody picked a colour.", ""),
        (
            {"n_picks": 8, "reason": "tint_two_groups", "picked": "#123456"},
            "Picks fall into two groups, so neither stands for the word.",
            "",
        ),
        (
            {"n_picks": 7, "reason": "tint_far", "picked": "#123456", "delta_e_subclass": 31.5},
            "Picked by 7 people; the dot is the pick in the middle.",
            "#123456",
        ),
        (
            {"n_picks": 1, "reason": "as_picked", "picked": "#123456"},
            "Picked by 1 person.",
            "#123456",
        ),
    ],
)
def test_of_a_terms_colour_is_told_what_its_dot_shows(small, colour, told, dot):
    read = Reader(written(changed(small, lambda term: term["colour"].update(colour))))
    texts = {read.content[at].strip() for at, _ in read.all("p", **{"data-field": "colour"})}
    assert texts == {told}
    drawn = [found["fill"] for _, found in read.all("circle", class_="picked")]
    assert set(drawn) == ({dot} if dot else set())
    assert "tint" not in "".join(text for key, text in PAGE_WORDS.items())


def test_what_is_not_translated_is_counted_at_the_top(small):
    lacking = [
        {"tier": "term", "id": "t001", "parts": ["label", "definition", "caution"]},
        {"tier": "term", "id": "t002", "parts": ["caution"]},
    ]
    page = written({**small, "language": "de", "untranslated": lacking})
    expected = "in der Sprache der Studie: 1 Name, 1 Definition, 2 Warnhinweise."
    header = page[page.index("<header>") : page.index("</header>")]
    assert expected in header
    assert 'class="untranslated"' not in written(small)


def test_the_notice_is_told_near_the_panel_and_leads_to_the_whole(chart, page):
    short = page.index(PAGE_WORDS["page.notice_short"])
    assert page.index('id="panel"') < short < page.index('id="list"')
    assert 'href="#notice"' in page[short : page.index('id="list"')]
    assert page.count('id="notice"') == 1
    bare = written(changed(chart, lambda term: term.update(reference="")))
    assert "#notice" not in bare


def test_the_cards_are_those_of_the_same_language(small):
    languages = {"": "en", ".de": "de"}
    for tag, language in languages.items():
        chart = {**small, "language": language}
        page = wheel_page(chart, typesetter(), WEAK, languages=languages)
        assert re.findall(r'href="(cards[^"]*)"', page) == [f"cards{tag}.html"]


def test_a_label_stands_in_a_german_sentence_as_a_quotation(chart):
    # `neben` asks for the dative, which a label of the study does not have
    page = written({**chart, "language": "de"})
    labels = {term["id"]: term["label"] for _, _, term in chart_terms(chart, True)}
    moved = [term for _, _, term in chart_terms(chart) if term["decision"]]
    assert moved
    for term in moved:
        assert f"neben „{labels[term['decision']['beside']]}“: " in page


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


def test_the_page_asks_no_network_for_anything(page):
    addresses = set(re.findall(r"""(?:https?:)?//[a-z][\w.-]+\.[a-z]+/""", page))
    assert addresses == {"http://www.w3.org/"}  # the name of the SVG namespace, never fetched
    assert not re.search(r"@import|url\((?!data:)", page)


def test_only_this_script_and_this_style_may_run(page, read):
    policy = next(f["content"] for _, f in read.all("meta") if "Content-Sec" in str(f))
    for tag in ("script", "style"):
        at = read.all(tag)[-1][0]
        digest = hashlib.sha256(read.content[at].encode("utf-8")).digest()
        assert f"{tag}-src 'sha256-{base64.b64encode(digest).decode()}'" in policy
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


def test_writing_twice_gives_the_same_bytes(chart, page):
    assert written(chart) == page


def test_no_style_attributes_are_needed(page):
    assert " style=" not in page


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


def test_other_languages_are_linked_by_their_own_names(small):
    languages = {"": "en", ".de": "de", ".th": "th"}
    page = wheel_page(small, typesetter(), WEAK, languages=languages)
    links = re.findall(r'<a href="wheel([^"]*)\.html" lang="(\w+)"[^>]*>([^<]*)</a>', page)
    assert links == [(".de", "de", "Deutsch"), (".th", "th", "th")]  # no file of Thai words


def test_text_beside_the_wheel_tries_the_same_fonts(page):
    body = re.findall(r"body \{ font-family: ([^;]*);", page)[-1]
    assert body.startswith('"Fira Sans Condensed"')


def test_the_language_is_the_charts(small, page):
    assert '<html lang="en">' in page
    assert '<html lang="de">' in written({**small, "language": "de"})


def test_sentences_can_be_those_of_another_language(small):
    words = Words("en", "en", {key: f"\u00bf{text}" for key, text in interface_words("en").items()})
    page = wheel_page(small, typesetter(), WEAK, words)
    read = Reader(page)
    at = read.all("label", for_="search")[0][0]
    assert read.content[at] == f"\u00bf{PAGE_WORDS['page.search']}"
    at = read.all("script", id="data")[0][0]
    assert json.loads(read.content[at])["words"] == scripted(words)


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
