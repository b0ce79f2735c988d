"""The cards as files: pages of A6 with live text, a page without network, the same each time."""

import base64
import csv
import hashlib
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path

import pytest
from card_example import COLOUR, LETTERING, chart_with, prose, setter_of, term
from felloe.errors import StudyError
from felloe.ground.files.records import read_json, write_json
from felloe.report.cards.deck import deck_of
from felloe.report.cards.fonts import font_files
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.letters import check_letters
from felloe.report.cards.page import cards_page
from felloe.report.cards.pdf import blank, cards_pdf
from felloe.report.cards.pieces import Box, Stroke, Writing
from pypdf import PdfReader
from small_study import TERMS
from test_chart import chart_of
from write_cards import main

ROOT = Path(__file__).parents[3]
HOSTILE = ("<img src=x onerror=alert(1)>", "</style><script>alert(2)</script>", "{{ 7 * 7 }}")
MARKS = {"provisional": "PROVISIONAL", "preview": "PREVIEW"}


def squeezed(text):
    """Take out all blanks: where a reader of PDF sees one is its own guess."""
    return re.sub(r"\s+", "", text)


def pages_of(chart, cautions=()):
    reader = PdfReader(BytesIO(cards_pdf(setter_of(chart, cautions).deck, LETTERING)))
    return reader, [squeezed(page.extract_text()) for page in reader.pages]


def page_of(chart, cautions=()):
    return cards_page(setter_of(chart, cautions).deck, LETTERING)


class Reader(HTMLParser):
    """Collects elements and the text that is shown."""

    def __init__(self, page):
        super().__init__()
        self.elements, self.text, self.inside = [], "", ""
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))
        self.inside = tag

    def handle_data(self, text):
        if self.inside != "style":
            self.text += f"{text} "


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("cards"))


@pytest.fixture(scope="module")
def made(chart):
    return pages_of(chart, ("Wear gloves.",))


def shown_colour(colour):
    """Return the colour that people picked, None where they picked none or two."""
    return None if colour["reason"] == "tint_two_groups" else colour["picked"]


def in_order(chart):
    """Return (class, subclass, term) of a chart in its order, one after the other."""
    for class_ in chart["classes"]:
        for subclass in class_["subclasses"]:
            for each in subclass["terms"] + subclass["absorbed"]:
                yield class_, subclass, each


def test_every_page_is_a6_upright_in_all_its_boxes(made):
    # ISO 216: A6 is 105 x 148 mm; a point of PDF is 1/72 inch
    for page in made[0].pages:
        for box in (page.mediabox, page.cropbox, page.trimbox):
            assert float(box.width) == pytest.approx(105 / 25.4 * 72, abs=0.01)
            assert float(box.height) == pytest.approx(148 / 25.4 * 72, abs=0.01)


def test_every_term_has_its_page_in_the_charts_order_behind_the_divider_of_its_class(made, chart):
    _, texts = made
    at = 0
    for class_ in chart["classes"]:
        assert squeezed(class_["name"]) in texts[at]
        assert all(squeezed(each["name"]) in texts[at] for each in class_["subclasses"])
        at += 1
        for subclass in class_["subclasses"]:
            for each in subclass["terms"] + subclass["absorbed"]:
                for text in (each["label"], each["definition"], each["reference"]):
                    assert squeezed(text) in texts[at]
                assert squeezed(class_["name"]) in texts[at]
                picked = shown_colour(each["colour"])
                assert (picked or "colour") in texts[at]
                assert picked or not re.search("#[0-9a-f]{6}", texts[at])
                assert ("Doubtful" in texts[at]) == (each["status"] == "doubtful")
                at += 1
    assert at == len(texts)


@pytest.mark.parametrize(
    ("picked", "reason", "told"),
    [
        ("#112233", "tint_far", "#112233"),
        ("#112233", "as_picked", "#112233"),
        (None, "tint_unpicked", "no colour was picked"),
        ("#112233", "tint_two_groups", "people did not agree on a colour"),
    ],
)
def test_a_card_shows_the_colour_that_people_picked_or_a_dash(picked, reason, told):
    colour = {"used": "#abcdef", "picked": picked, "reason": reason}
    chart = chart_with([term("a", colour=colour)])
    (_, sheet) = setter_of(chart).sheets()
    filled = {piece.fill for piece in sheet.pieces if isinstance(piece, Box) and piece.fill}
    expected = {"#112233"} if told.startswith("#") else set()
    assert filled == expected | {COLOUR["used"]}  # and the bar of the class
    dashes = [each for each in sheet.pieces if isinstance(each, Stroke) and each.thickness > 0.4]
    assert len(dashes) == (not expected)
    _, texts = pages_of(chart)
    assert squeezed(told) in texts[1]
    page = page_of(chart)
    assert told in page
    assert ('<path d="M1.8 4h4.4"' in page) == (not expected)
    for everything in (*texts, page):
        assert "#abcdef" not in everything
        assert ("#112233" in everything) <= bool(expected)


def test_a_divider_keeps_the_colour_of_its_class():
    _, texts = pages_of(chart_with([term("a")]))
    assert COLOUR["used"] in texts[0]


@pytest.mark.parametrize(
    ("language", "fields"),
    [
        ("en", ("Sample", "Made on", "Discard after")),
        ("de", ("Probe", "Angesetzt am", "Verwerfen nach")),
    ],
)
def test_a_row_about_the_sample_is_to_be_filled_in_on_every_term(language, fields):
    chart = chart_with([term("a"), term("b", caution=prose(300))], language=language)
    divider, *sheets = setter_of(chart).sheets()
    for sheet in sheets:
        at = {piece.text: piece for piece in sheet.pieces if isinstance(piece, Writing)}
        base = at[fields[0]].y
        rules = [each for each in sheet.pieces if isinstance(each, Stroke) and each.y == base]
        assert [at[field].y for field in fields] == [base] * 3
        assert len(rules) == 3
        assert min(rule.width for rule in rules) > 12  # mm: room for a date in a hand's writing
        ends = [end for field in fields for end in (at[field].x, at[field].box(LETTERING)[2])]
        starts = [edge for rule in rules for edge in (rule.x, rule.x + rule.width)]
        order = [
            place
            for pair in zip(ends[::2], ends[1::2], starts[::2], starts[1::2])
            for place in pair
        ]
        assert order == sorted(order)
    assert fields[2] not in {p.text for p in divider.pieces if isinstance(p, Writing)}
    assert page_of(chart).count(f"<b>{fields[2]}</b>") == 2


def test_the_row_about_the_sample_gives_way_to_text_and_stands_on_the_last_card():
    for length in range(600, 2400, 200):
        (_, laid) = setter_of(chart_with([term("a", definition=prose(length, 2))])).laid
        kinds = [[run.block.kind for run in part.runs] for part in laid.parts]
        assert [kind for part in kinds for kind in part].count("sample") == 1
        assert kinds[-1][-1] == "sample"
    assert len(kinds) > 1


SMELT = [
    ("Smell only: 3 g in a jar.", True),
    ("Smell only", True),
    ("smell only; ventilate.", True),
    ("Allergen: milk. Smell only.", True),
    ("Hot! SMELL ONLY, and briefly.", True),
    ("Nur riechen: 3 g im Glas.", True),
    ("Allergen: Milch. Nur riechen.", True),
    ("This is not smell only.", False),
    ("Not in pregnancy: smell only.", False),
    ("Allergen: milk; smell only.", False),
    ("Smell only a little, then taste.", False),
    ("Smell, then taste.", False),
    ("Nicht nur riechen. Auch verkosten.", False),
    ("Nur riechende Teile.", False),
    ("", False),
]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("kind", ["caution", "reference"])
@pytest.mark.parametrize(("text", "loud"), SMELT)
def test_what_is_smelt_only_says_so_in_the_heading_of_its_caution(text, loud, kind, language):
    words = {"en": "SMELL ONLY", "de": "NUR RIECHEN"}[language]
    chart = chart_with([term("a", **{"caution": "Salt.", kind: text})], language=language)
    setter = setter_of(chart)
    caution = setter.laid[1].card.caution
    assert (words in caution.heading) == loud
    headings = [
        piece
        for piece in list(setter.sheets())[1].pieces
        if isinstance(piece, Writing) and piece.text == caution.heading
    ]
    (heading,) = headings
    assert heading.style.startswith("strong")
    assert (heading.size > 8) == loud
    assert (' loud"' in page_of(chart)) == loud


def test_what_is_smelt_only_and_was_never_assessed_says_both():
    chart = chart_with([term("a", reference="Smell only: x.", caution=None)])
    heading = setter_of(chart).laid[1].card.caution.heading
    assert heading == "Caution: NOT ASSESSED \u00b7 SMELL ONLY"


@pytest.mark.parametrize("study", ["brine-2016", "brine-2026"])
def test_every_term_of_the_demo_takes_one_card_and_says_where_it_is_smelt_only(study):
    with (ROOT / "demo_data" / study / "terms.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    columns = ("label", "definition", "reference", "caution")
    terms = [term(row["term"], **{name: row[name] for name in columns}) for row in rows]
    cautions = ("Spoilage is judged by the trained.", "Nobody tastes mould.")
    for laid, row in zip(setter_of(chart_with(terms), cautions).laid[1:], rows, strict=True):
        assert len(laid.parts) == 1, row["term"]
        smelt = row["reference"].startswith("Smell only:")
        assert ("SMELL ONLY" in laid.card.caution.heading) == smelt, row["term"]


def test_cautions_stand_on_every_page(made):
    for text in made[1]:
        assert "Declareallergensfirst." in text
        assert "Wear gloves.".replace(" ", "") in text


def test_title_language_and_outline_are_set(made, chart):
    reader, _ = made
    assert chart["title"] in reader.metadata.title
    assert reader.trailer["/Root"]["/Lang"] == "en"
    top = [each.title for each in reader.outline if not isinstance(each, list)]
    assert top == [class_["name"] for class_ in chart["classes"]]
    below = [each.title for part in reader.outline if isinstance(part, list) for each in part]
    assert below == [each["label"] for _, _, each in in_order(chart)]


def test_the_language_is_that_of_the_chart():
    reader, _ = pages_of(chart_with([term("a")], language="de"))
    assert reader.trailer["/Root"]["/Lang"] == "de"
    assert '<html lang="de">' in page_of(chart_with([term("a")], language="de"))


def test_every_font_is_embedded_as_a_subset(made):
    fonts = [
        font.get_object() for page in made[0].pages for font in page["/Resources"]["/Font"].values()
    ]
    assert fonts
    for font in fonts:
        described = font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
        assert "/FontFile2" in described
        assert re.match(r"/[A-Z]{6}\+", font["/BaseFont"])


@pytest.mark.parametrize("style", LETTERING.paths)
@pytest.mark.parametrize("text", ["Avalanche of AVAs, 5 g", prose(70, 4), "office, fjord", "n"])
def test_a_line_is_drawn_as_wide_as_it_was_measured(style, text):
    # fpdf2 shapes and measures by itself
    pdf = blank(setter_of(chart_with([term("a")])).deck, LETTERING)
    pdf.add_page()
    pdf.set_font(style, size=10)
    width = pdf.get_string_width(text)
    pdf.output()  # closes the fonts
    assert width == pytest.approx(LETTERING.width(text, style, 10), abs=0.05)


def test_every_word_of_long_texts_is_in_the_pdf_in_order():
    told = {"definition": prose(1500, 1), "reference": prose(900, 2), "caution": prose(1200, 3)}
    _, texts = pages_of(chart_with([term("a", **told)]))
    whole = "".join(texts[1:])
    for text in told.values():
        at = 0
        for word in text.split():
            assert (at := whole.find(word, at)) >= 0, word


def test_a_caution_never_given_is_no_none():
    terms = [term("a", caution=None), term("b", caution="None known.")]
    _, (_, never, given) = pages_of(chart_with(terms))
    assert "NOTASSESSED" in never
    assert "Noneknown" not in never
    assert "NOTASSESSED" not in given
    page = page_of(chart_with(terms))
    assert page.count("NOT ASSESSED") == 1
    assert page.count('class="caution missing"') == 1


def test_a_dose_is_left_to_be_filled_in():
    _, texts = pages_of(chart_with([term("a")]))
    assert "Dose:" in texts[1]


@pytest.mark.parametrize("mark", MARKS)
def test_what_a_chart_says_before_it_is_used_stands_on_the_cards(mark):
    chart = chart_with([term("a")], **{mark: True})
    reader, texts = pages_of(chart)
    assert MARKS[mark] in reader.metadata.subject
    assert MARKS[mark] in texts[0]
    assert all(mark in text for text in texts)
    assert MARKS[mark] in page_of(chart)


def test_the_number_in_the_corner_runs_forwards():
    _, pages = pages_of(chart_with([term(name) for name in "abc"]))
    assert [f"{at}/3" in page for at, page in enumerate(pages)] == [False, True, True, True]


def test_hebrew_is_read_as_it_was_written_and_arabic_is_joined():
    hebrew, arabic = "\u05e9\u05d5\u05dd", "\u062b\u0648\u0645"
    reader, _ = pages_of(chart_with([term("a", label=hebrew), term("b", label=arabic)]))
    below = [each.title for part in reader.outline if isinstance(part, list) for each in part]
    assert below == [hebrew, arabic]
    # the first letter of the word is the rightmost on the page
    shown = list(setter_of(chart_with([term("a", label=hebrew)])).sheets())[1]
    (name,) = [each for each in shown.pieces if getattr(each, "text", "") == hebrew]
    assert name.to_the_left


def test_a_line_runs_as_its_text_does_even_if_it_starts_with_another_script():
    hebrew = "\u05e9\u05d5\u05dd"
    text = f"{hebrew * 11} water {hebrew}"  # the second line starts with the word in Latin letters
    (_, card) = setter_of(chart_with([term("a", definition=text)])).laid
    assert [line.text for line in card.parts[0].runs[0].lines] == [hebrew * 11, f"water {hebrew}"]
    reader, _ = pages_of(chart_with([term("a", definition=text)]))
    laid_out = reader.pages[1].extract_text(extraction_mode="layout")  # in order from left to right
    (line,) = [line for line in laid_out.splitlines() if "water" in line]
    assert re.match(r"\s*[\u05d0-\u05ea]{3}\s+water\s*$", line)


def test_a_term_that_names_its_group_has_a_card_that_says_so():
    class_ = chart_with([])["classes"][0]
    class_["subclasses"][0] |= {
        "terms": [term("a", status="doubtful")],
        "absorbed": [term("b", start_deg=None, status="doubtful")],
    }
    _, texts = pages_of(chart_with([], classes=[class_]))
    assert ["Namesitsgroup" in text for text in texts] == [False, False, True]
    assert "2words" in texts[0]
    assert "Doubtful" in texts[2]


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"label": "\u65e5\u672c"}, ("term a", "\u65e5 (U+65E5)", "\u672c (U+672C)")),
        ({"definition": "good \u0e01"}, ("term a", "U+0E01")),
        ({"caution": "\u0915"}, ("term a", "U+0915")),
    ],
)
def test_letters_that_no_font_has_are_named_with_their_term(changes, named):
    with pytest.raises(StudyError) as refusal:
        check_letters(setter_of(chart_with([term("a", **changes), term("b")])).deck, LETTERING)
    message = str(refusal.value)
    assert all(word in message for word in named)
    assert "term b" not in message
    assert "wheel.fonts" in message


def test_a_font_of_the_study_brings_letters_that_the_others_lack(tmp_path):
    # a font made here, with the one letter A at the place of U+65E5
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    pen = TTGlyphPen(None)
    pen.moveTo((0, 0))
    for point in ((500, 0), (500, 700), (0, 700)):
        pen.lineTo(point)
    pen.closePath()
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "day"])
    builder.setupCharacterMap({0x65E5: "day"})
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "day": pen.glyph()})
    builder.setupHorizontalMetrics({".notdef": (600, 0), "day": (600, 0)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "One", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.save(tmp_path / "one.ttf")
    lettering = Lettering(font_files([tmp_path / "one.ttf"]))
    deck = setter_of(chart_with([term("a", label="x \u65e5", definition="\u65e5" * 300)])).deck
    check_letters(deck, lettering)
    texts = [page.extract_text() for page in PdfReader(BytesIO(cards_pdf(deck, lettering))).pages]
    assert squeezed(texts[1]).count("\u65e5") == 301
    assert cards_page(deck, lettering).count("@font-face") == 4  # it serves both weights


def test_a_font_that_is_none_is_named(tmp_path):
    (tmp_path / "none.ttf").write_text("no font", encoding="utf-8")
    with pytest.raises(StudyError, match=r"none\.ttf: is no font"):
        Lettering(font_files([tmp_path / "none.ttf"])).width("a", "plain", 7)


def test_letters_of_two_fonts_may_meet_in_one_text():
    text = "\u0410 x\u2032 \ua7c8 \u1e9e"  # each is in one of both fonts at least
    has = [LETTERING.letters[style] for style in ("plain", "plain-1")]
    letters = {ord(each) for each in text if each != " " and any(ord(each) in one for one in has)}
    mixed = " ".join(map(chr, sorted(letters)))
    check_letters(setter_of(chart_with([term("a", definition=mixed)])).deck, LETTERING)
    _, texts = pages_of(chart_with([term("a", definition=mixed)]))
    assert squeezed(mixed) in texts[1]


def test_the_page_loads_nothing_and_allows_its_own_style_alone(chart):
    page = page_of(chart)
    reader = Reader(page)
    tags = {tag for tag, _ in reader.elements}
    assert not tags & {"script", "img", "link", "iframe", "object"}
    assert not re.search(r"url\((?!\"data:)", page)
    assert not re.search(r"https?://", page)
    (policy,) = [a["content"] for _, a in reader.elements if "http-equiv" in a]
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL).group(1)
    digest = hashlib.sha256(style.encode()).digest()
    assert f"'sha256-{base64.b64encode(digest).decode()}'" in policy
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


def test_a_subclass_that_says_no_more_than_its_class_is_not_repeated():
    chart = chart_with([term("a")])
    chart["classes"][0]["name"] = chart["classes"][0]["subclasses"][0]["name"] = "Lone kin"
    _, texts = pages_of(chart)
    assert texts[1].count("Lonekin") == 1


def test_a_proposed_name_looks_like_a_proposal():
    classes = chart_with([term("a")])["classes"]
    classes[0] |= {"name": "cress", "name_is_proposal": True}
    _, texts = pages_of(chart_with([], classes=classes))
    assert "cress(proposedname)" in texts[0]


def test_the_same_bytes_come_each_time_whatever_the_hash_seed(tmp_path):
    script = (
        "import sys; sys.path[:0] = ['scripts', 'tests'];"
        "from card_example import *; from felloe.report.cards.pdf import cards_pdf;"
        "from felloe.report.cards.page import cards_page; import hashlib;"
        "deck = setter_of(chart_with([term('a'), term('b', label='\\u05e9\\u05d5\\u05dd')])).deck;"
        "made = cards_pdf(deck, LETTERING) + cards_page(deck, LETTERING).encode();"
        "print(hashlib.sha256(made).hexdigest())"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }
    assert len(said) == 1


def test_the_step_writes_both_or_nothing(tmp_path, chart):
    paths = {name: str(tmp_path / name) for name in ("chart", "about", "page", "sheets")}
    write_json(paths["chart"], chart)
    write_json(paths["about"], {"cautions": ["Wear gloves."]})
    main(**paths, fonts=[])
    assert Path(paths["sheets"]).read_bytes() == cards_pdf(
        setter_of(chart, ("Wear gloves.",)).deck, LETTERING
    )
    assert "Wear gloves." in Path(paths["page"]).read_text(encoding="utf-8")
    for name in ("page", "sheets"):
        Path(paths[name]).unlink()
    chart["classes"][0]["subclasses"][0]["terms"][0]["label"] = "\u65e5"
    write_json(paths["chart"], chart)
    with pytest.raises(StudyError):
        main(**paths, fonts=[])
    assert not Path(paths["page"]).exists()
    assert not Path(paths["sheets"]).exists()


def test_a_whole_study_makes_them_and_its_manifest_lists_them(small_results):
    listed = read_json(small_results / "manifest.json")["outputs"]
    assert {"report/cards.html", "report/cards.pdf"} <= set(listed)
    chart = read_json(small_results / "report" / "chart.json")
    reader = PdfReader(small_results / "report" / "cards.pdf")
    texts = [squeezed(page.extract_text()) for page in reader.pages]
    terms = [each["label"] for _, _, each in in_order(chart)]
    assert len(terms) == len(TERMS)
    assert len(texts) == len(terms) + len(chart["classes"])
    assert all("Weargloves." in text for text in texts)
    page = (small_results / "report" / "cards.html").read_text(encoding="utf-8")
    assert page.count("Wear gloves.") == len(texts) + 1
    report = (small_results / "report" / "report.html").read_text(encoding="utf-8")
    assert "<li>Wear gloves.</li>" in report


@pytest.mark.parametrize(
    ("language", "word", "advice"),
    [("de-AT", "Warnhinweis: NICHT GEPRÜFT", "Niemand"), ("en", "Caution: NOT ASSESSED", "Nobody")],
)
def test_cards_speak_the_language_of_their_chart(language, word, advice):
    deck = deck_of(chart_with([term("one", caution=None)], language=language), {"cautions": []})
    (card,) = [card for suit in deck.suits for _, card in suit.cards]
    assert card.caution.heading == word
    assert card.caution.text.startswith(advice)
    assert deck.language == language
