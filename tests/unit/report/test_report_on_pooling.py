"""What the report says of pooling: told from the dossier, and no further than it goes."""

import html
import re

import numpy as np
import pytest
from felloe.ground.files.records import read_json
from felloe.report.catalogue import table_of
from report_example import change_record, copied, told, words_of
from scipy.stats import binom

DOSSIER = "comparison/populations.json"
CHART, OWN = "comparison/chart.json", "circle/own_charts.csv"


@pytest.fixture
def study(small_results, tmp_path):
    """A copy of a whole study's tables and records, its drawings left out."""
    return copied(small_results, tmp_path)


def mantel_of(study):
    return read_json(study / DOSSIER)["mantel"]["pearson"]


def placed(text, mark):
    """Return the heading that a place of a page stands below, "" for none."""
    above = re.findall(r'<h2 id="(\w+)"', text[: text.index(mark)])
    return above[-1] if above else ""


def criteria(study, key, value, margin, passed):
    """Return the criteria of the dossier, one of them with another value."""
    other = {"value": value, "margin": margin, "passed": passed}
    found = read_json(study / DOSSIER)["criteria"]
    return [{**one, **other} if one["key"] == key else one for one in found]


def test_the_sentence_on_mantel_never_says_alike(study):
    # METHODS: the wording that a small p allows, and no more.
    found = {"r": 0.765, "p": 0.0001, "permutations": 9999, "n_terms": 4}
    change_record(study, DOSSIER, mantel__pearson={**mantel_of(study), **found})
    text = re.sub("<[^>]*>", "", told(study))
    assert (
        "The two groups' co-occurrence matrices are positively associated (r = 0.765, one-sided "
        "permutation p = 0.0001, 9\u202f999 permutations, 4 terms). This excludes unrelated "
        "structures; it is not evidence that the groups sort identically and is not by itself a "
        "ground for pooling."
    ) in html.unescape(text)


def test_a_large_mantel_p_is_not_called_an_association(study):
    change_record(study, DOSSIER, mantel__pearson__p=0.4)
    text = told(study)
    assert "not shown to be associated" in text
    assert "positively associated" not in text


def test_an_override_stands_in_a_warning(study):
    change_record(study, CHART, override="always")
    said = 'class="warning"><strong>Override.</strong> The populations were pooled because'
    text = told(study)
    assert said in text
    assert text.count("No reason was given") == 2  # in brief, and in its section


def test_the_reason_of_an_override_is_printed_word_for_word(study):
    change_record(study, CHART, override="always", override_reason="One chart for <all> & sundry.")
    assert told(study).count("The reason given: One chart for &lt;all&gt; &amp; sundry.") == 2


def test_a_provisional_chart_says_so_before_it_says_how_firm_it_is(study):
    change_record(study, CHART, provisional=False)
    assert "Provisional:" not in told(study)
    change_record(study, CHART, provisional=True)
    text = told(study)
    assert text.index("Provisional:") < text.index("How firm, if all may be pooled")


@pytest.mark.parametrize(
    ("verdict", "chart", "section", "before"),
    [
        ("cannot_tell", {"source": "pooled", "provisional": True}, "wheel", 'id="decide"'),
        ("keep_apart", {"source": "panel", "provisional": False}, "pooling", "The rule</a>"),
        ("pool", {"source": "pooled", "provisional": False}, "pooling", "For the verdict the"),
    ],
)
def test_the_own_charts_stand_where_the_verdict_asks_for_them(
    study, verdict, chart, section, before
):
    change_record(study, DOSSIER, verdict=verdict)
    change_record(study, CHART, **chart)
    text = told(study)
    mark = "The populations' own charts in words"
    assert html.unescape(text).count(mark) == 1
    assert placed(html.unescape(text), mark) == section
    assert html.unescape(text).index(mark) < html.unescape(text).index(before)


def test_the_own_charts_are_told_term_by_term(study):
    rows = table_of(OWN).read(study / OWN)
    differing = [row for row in rows if row["differs"]]
    labels = {
        row["term"]: row["label"]
        for row in table_of("validation/terms.csv").read(study / "validation/terms.csv")
    }
    text = html.unescape(told(study))
    part = text[text.index("own charts in words") :]
    part = re.sub("<[^>]*>", "", part[: part.index("</ul>")])
    assert differing
    for row in differing:
        assert labels[row["term"]] in part
    # each class that terms leave for another is told once, with the class that is given instead
    moves = {
        (row["population"], row["published_class"], row["matched_class"] or row["class"])
        for row in differing
    }
    assert part.count(", not in ") == len(moves)


def test_granularity_is_named_where_it_may_be_why_nobody_can_tell(study):
    change_record(study, DOSSIER, verdict="cannot_tell", granularity_difference__p_value=0.004)
    text = told(study)
    assert "a known property of the measure" in text
    assert 'title="comparison/populations.json: granularity_difference.p_value"' in text


def test_a_criterion_that_failed_says_so(study):
    change_record(study, DOSSIER, criteria=criteria(study, "corrected_r", 0.765, 0.9, False))
    assert re.search(
        r'Do the two matrices agree.*?0\.765.*?0\.90.*?class="fail">not met', told(study)
    )


@pytest.mark.parametrize(
    ("value", "said"), [(0.901, True), (0.899, True), (0.93, False), (0.87, False)]
)
def test_a_bound_near_its_margin_is_called_narrow(study, value, said):
    changed = criteria(study, "corrected_r", value, 0.9, value >= 0.9)
    change_record(study, DOSSIER, criteria=changed)
    assert ("met, narrowly" in told(study)) == said


@pytest.mark.parametrize(
    ("value", "low", "says", "because", "said", "never"),
    [
        (0.951, 0.912, "value", None, r"noise it is 0\.951 \(95.%.*0\.912 to", "at least"),
        (1.083, 0.912, "at_least", "above_one", r"noise it is at least 0\.912 \(lower", "1.083"),
        (1.083, 0.912, "at_least", "unreliable", r"any value\.", "1.083"),
        (1.083, -0.2, "no_bound", "unreliable", "neither a value nor a bound", "1.083"),
        (None, None, "nothing", "uncorrectable", "cannot be corrected", "nan"),
    ],
)
def test_a_corrected_correlation_that_cannot_be_is_told_by_its_bound(
    study, value, low, says, because, said, never
):
    changes = {"value": value, "low": low, "high": low and 1.0, "says": says, "because": because}
    found = read_json(study / DOSSIER)["noise_ceiling"]["corrected_r"]
    change_record(study, DOSSIER, noise_ceiling__corrected_r={**found, **changes})
    part = words_of(told(study)).split("How much agreement could be expected?")[-1]
    part = part.split("Are the people exchangeable?")[0]
    assert re.search(said, part, re.S)
    assert never not in part


def test_how_many_more_people_would_settle_it_stands_on_the_page(study):
    names = read_json(study / DOSSIER)["populations"]
    each = {"more": 17, "share": 0.84, "standard_error": 0.019}
    plan = {
        "question": "agreement", "only": dict.fromkeys(names), "of_each": each, "most": 240,
        "enough": 0.8, "replicates": 400,
    }  # fmt: skip
    change_record(study, DOSSIER, plan=plan)
    assert "17 more of each (0.84, Monte-Carlo error 0.02)" in words_of(told(study))


def test_changes_that_random_splits_make_too_are_not_used(study):
    found = criteria(study, "stable_cut", 0.3, 0.1, False)
    change_record(study, DOSSIER, criteria=found)
    assert re.search(r'random splits.*?0\.300.*?class="aside">not met', told(study), re.S)
    assert re.search(r'few terms change class.*?class="aside">not used', told(study), re.S)
    assert "speak neither for nor against pooling" in told(study)


@pytest.mark.parametrize(("people", "said"), [(19, True), (20, False)])
def test_few_people_are_said_to_give_wide_intervals(study, people, said):
    change_record(study, DOSSIER, n_people={"makers": people, "panel": 40})
    assert (f"Makers: {people}) intervals are wide" in words_of(told(study))) == said


def test_the_standard_error_told_for_twenty_people_is_that_of_two_binomial_shares(study):
    # Source: variance p(1 - p)/n of a binomial share (scipy), twice for a difference of two.
    quoted = re.search("is already about ([0-9.]+) where", words_of(told(study))).group(1)
    share = binom(20, 0.5).std() / 20
    assert float(quoted) == pytest.approx(np.hypot(share, share), abs=0.005)
