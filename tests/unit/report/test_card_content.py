"""What a card tells: its colour, sample, caution, status and names, on the sheet and the page."""

import pytest
from card_example import COLOUR, LETTERING, chart_with, prose, setter_of, term
from card_reading import page_of, pages_of, squeezed
from demo_tables import terms_of
from felloe.report.cards.deck import deck_of
from felloe.report.cards.pieces import Box, Stroke, Writing

MARKS = {"provisional": "PROVISIONAL", "preview": "PREVIEW"}


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
    rows = terms_of(study).values()
    columns = ("label", "definition", "reference", "caution")
    terms = [term(row["term"], **{name: row[name] for name in columns}) for row in rows]
    cautions = ("Spoilage is judged by the trained.", "Nobody tastes mould.")
    for laid, row in zip(setter_of(chart_with(terms), cautions).laid[1:], rows, strict=True):
        assert len(laid.parts) == 1, row["term"]
        smelt = row["reference"].startswith("Smell only:")
        assert ("SMELL ONLY" in laid.card.caution.heading) == smelt, row["term"]


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
