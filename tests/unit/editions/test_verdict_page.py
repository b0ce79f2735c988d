"""The verdict stands on top of the report, and every number of it in a file of the folder."""

import html
import re
import shutil

import pytest
from compare_editions import main as compare
from edition_study import members_of, outputs_in, told_in
from felloe.editions.steps.report_editions import main as report
from felloe.ground.files.records import read_json, write_json

INDICES = (
    "mantel.pearson.r",
    "mantel.spearman.r",
    "migrations.moved",
    "label_permutation.pseudo_F",
    "label_permutation.pseudo_F_adjusted",
    "tiers.data_only.class.adjusted_rand",
    "tiers.data_only.class.adjusted_mutual_information",
    "tiers.data_only.class.variation_of_information",
    "tiers.data_only.subclass.adjusted_rand",
    "tiers.data_only.subclass.adjusted_mutual_information",
    "tiers.data_only.subclass.variation_of_information",
    "trees.cophenetic_correlation",
    "trees.bakers_gamma",
    "trees.robinson_foulds",
    "order.uniform_margins",
    "maps.procrustes_m2",
)


def told(folder, record=None):
    """Return the page of a comparison, told without figures."""
    if record is not None:
        write_json(folder / "comparison.json", record)
    page = folder / "told.html"
    report(**told_in(folder), figures=[], report=page, folder=folder)
    return page.read_text(encoding="utf-8")


def plain(text):
    return html.unescape(re.sub("<[^>]*>", "", text))


@pytest.fixture
def copied(compared, tmp_path):
    return shutil.copytree(compared, tmp_path / "copied")


@pytest.fixture(scope="module")
def page(compared, tmp_path_factory):
    return told(shutil.copytree(compared, tmp_path_factory.mktemp("page") / "one"))


def top_of(text):
    return text[text.index('id="verdict"') : text.index("</header>")]


def test_three_sentences_stand_before_everything_else(page):
    top = plain(top_of(page))
    places = [top.index(name) for name in ("Structure.", "Vocabulary.", "People.", "Words in both")]
    assert places == sorted(places)
    assert top.count("Rests on:") == 3


def test_every_number_of_the_verdict_says_where_it_stands_and_is_what_stands_there(page, compared):
    record = read_json(compared / "comparison.json")
    found = re.findall(r'<data value="([^"]*)" title="comparison.json: ([\w.]+)">', top_of(page))
    assert len(found) > 20
    for value, key in found:
        place = record
        for part in key.split("."):
            place = place[int(part)] if isinstance(place, list) else place[part]
        assert float(value) == pytest.approx(place)


def test_no_number_of_the_verdict_is_typed(page):
    sentences = page[page.index('id="verdict"') : page.index('<dl class="brief')]
    bare = plain(re.sub("<data.*?</data>", "", sentences))
    # the years, the 95 % of an interval, and the ends of the scales of two indices
    assert set(re.findall(r"\d+(?:\.\d+)?", bare)) <= {"2016", "2026", "95", "0", "1"}


@pytest.mark.parametrize("side", ["older", "newer"])
@pytest.mark.parametrize("key", INDICES)
def test_what_halves_show_stands_beside_every_index(page, side, key):
    for end in ("median", "low", "high"):
        assert f'title="comparison.json: noise.{side}.{key}.{end}"' in page


def test_one_instruction_is_not_quoted_and_two_stand_side_by_side(settings, inputs, page, tmp_path):
    assert "asked" not in plain(top_of(page))
    about = {**read_json(inputs["2026"].about), "instruction": "Sort by <smell> alone."}
    write_json(tmp_path / "study.json", about)
    given = {**settings, "newer_about": tmp_path / "study.json"}
    compare(**given, **outputs_in(tmp_path))
    (tmp_path / "crosswalk.ttl").write_text("")
    members_of(given, tmp_path)
    top = top_of(told(tmp_path))
    assert "asked their people different things" in plain(top)
    quoted = re.findall(r"<div><dt>(\d+) asked</dt><dd>(.*?)</dd></div>", top)
    assert [(year, plain(words)) for year, words in quoted] == [
        ("2016", "\u201cSort.\u201d"),
        ("2026", "\u201cSort by <smell> alone.\u201d"),
    ]


def test_a_study_without_halves_is_told_without_noise(copied):
    record = read_json(copied / "comparison.json")
    record["noise"]["older"] = None
    record["expected_moves"] = None
    text = plain(told(copied, record))
    assert "cannot be told: there are too few people" in text
    assert "What two random halves of each study would show cannot be told" in text
    assert "was not simulated for people who agree as these do" in text
    assert "Of two halves" not in text


def test_the_report_tells_how_often_moves_are_false_and_found(copied):
    record = read_json(copied / "comparison.json")
    record["expected_moves"] = {
        "makes": ["places"], "people": [25], "terms": 60, "planted": 6, "runs": 200,
        "reliability": 0.93, "false_robust": [0.031, 0.28], "still_robust": [0.0021, 0.0188],
        "moved_robust": [0.72, 0.93], "moved_possible": [0.05, 0.21],
    }  # fmt: skip
    text = plain(told(copied, record)).replace("\u202f", " ")
    assert "3 % to 28 % of pairs in which nothing had moved had a robust move" in text
    assert "72 % to 93 % of them were found robust" in text


def test_the_cards_speak_of_words(page):
    cards = re.findall(r"<dt>(.*?)</dt>", top_of(page))
    assert cards[-4:] == [
        "Words in both editions",
        "Words that came and went",
        "Words in another class",
        "Classes that went on",
    ]
    assert "Rand" not in plain("".join(re.findall("<dl.*?</dl>", top_of(page), re.DOTALL)))


def test_one_word_stands_for_one_thing_throughout_the_page(page):
    assert set(re.findall("surely|perhaps|given up|from memory", plain(page))) == set()


def test_halves_stand_beside_the_number_they_are_of(page, compared):
    moved = read_json(compared / "comparison.json")["migrations"]["moved"]
    assert re.search(
        rf"words in another class: {moved} \(\d+ robust moves, \d+ possible, \d+ noise\); "
        r"two halves of 2016: \d+ \(\d+ to \d+\), of 2026: \d+ \(\d+ to \d+\);",
        plain(top_of(page)),
    )


def test_words_that_were_split_or_merged_stand_in_the_sentence_and_the_cards(copied):
    record = read_json(copied / "comparison.json")
    record["terms"] |= {"split": 1, "split_into": 3, "merged": 4, "merged_into": 2}
    top = plain(top_of(told(copied, record)))
    sentence, cards = top[top.index("Vocabulary.") :].split("Rests on:", 1)
    assert "of the other words of 2016, 1 split into 3 and 4 merged into 2." in sentence
    assert "1 split into 3, 4 merged into 2" in cards
