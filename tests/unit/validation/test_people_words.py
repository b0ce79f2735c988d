"""What is said of the people: every number from a record, nobody by name."""

import re
from dataclasses import asdict
from pathlib import Path

import pytest
from felloe.provenance import SCRIPTS, files_of
from felloe.settings import DEFAULTS, read_yaml
from felloe.validation import words
from felloe.validation.screened import consensus
from felloe.validation.stability.planning import plan
from felloe.validation.stability.reliability import Spread, spread

HALVES = Spread("reliability", 22, 200, 0.88, 0.8, 0.88, 0.9)


def test_a_sentence_about_the_people_reruns_the_report_alone():
    steps = {path.stem for path in SCRIPTS.glob("*.py")}
    assert {step for step in steps if Path(words.__file__) in files_of(step)} == {"write_report"}


TOLD = (3, {"p1", "p2", "p3"}, 96)  # the fewest people to be told of, ids, number of terms


def finding(message, file="sorts.csv", line=None, participant="", term="", severity="note"):
    return {
        "severity": severity,
        "file": file,
        "line": line,
        "participant": participant,
        "term": term,
        "message": message,
    }


def test_the_plan_says_in_words_what_more_people_gain():
    # twice the people: 2 * 0.88 / 1.88 = 0.936; for 0.95: 22 * 0.95 * 0.12 / (0.88 * 0.05) = 57
    sentence = words.plan(asdict(plan("a", HALVES, 0.95)), "Makers")
    assert "22 more to 0.936" in sentence
    assert "35 more, 57 in all" in sentence


def test_too_few_people_are_told_so():
    told = asdict(plan("a", spread("reliability", 3, []), 0.95))
    assert words.plan(told, "Makers") == (
        "Makers: 3 participants are too few, or too much alike, to tell."
    )


@pytest.mark.parametrize(
    ("target", "said"), [(0.88, "Target reached."), (0.9, "Target not reached.")]
)
def test_a_target_is_reached_by_a_reliability_at_least_as_high(target, said):
    assert words.target(asdict(plan("a", HALVES, target))) == said


def test_no_target_is_judged_without_a_reliability():
    assert words.target(asdict(plan("a", spread("reliability", 3, []), 0.9))) == ""


def test_every_screening_rule_of_the_settings_has_words():
    assert set(read_yaml(DEFAULTS)["screening"]) < set(words.REASONS)


def test_the_middle_and_the_last_size_of_the_curve_are_told():
    rows = [
        {"quantity": f"{tier}_agreement", "participants": n, "mean": mean}
        for tier, means in (("class", (0.5, 0.6, 0.7)), ("subclass", (0.2, 0.3, 0.4)))
        for n, mean in zip((5, 9, 14), means, strict=True)
    ]
    assert words.agreement_of_tiers(rows, {"classes": 4, "subclasses": 8}) == (
        "4 classes of two separate samples of 9 agree by 0.60 (adjusted Rand), of 14 by 0.70; "
        "8 subclasses of two separate samples of 9 agree by 0.30 (adjusted Rand), of 14 by 0.40. "
        + words.MIDDLE
    )


def test_findings_about_several_people_are_told_as_one_without_anybodys_number():
    rows = [
        finding(f"pile: a participant did not place {n} of 96 terms", participant=who)
        for n, who in ((6, "p1"), (11, "p2"), (7, "p3"))
    ]
    (told,) = words.findings(rows, *TOLD)
    assert told["times"] == 3
    assert told["message"] == "pile: a participant did not place some of 96 terms"


@pytest.mark.parametrize(
    "file",
    [
        f"{name}.{ending}"
        for name in ("participants", "sorts", "design", "colours")
        for ending in ("csv", "xlsx")
        if (name, ending) != ("participants", "xlsx")
    ],
)
def test_no_line_is_told_that_is_one_persons(file):
    (told,) = words.findings([finding("minutes: more than a day", file=file, line=17)], *TOLD)
    assert told["line"] is None


def test_a_line_of_the_lexicon_is_told():
    (told,) = words.findings([finding("label: holds markup", file="terms.csv", line=17)], *TOLD)
    assert told["line"] == 17


def test_that_a_few_people_did_something_is_told_without_their_number():
    rows = [finding("pile: a participant did not place 6 of 96 terms", participant="p1")] * 2
    (told,) = words.findings(rows, *TOLD)
    assert told["times"] == "fewer than 3"


def test_terms_that_a_few_did_not_place_are_told_together():
    rows = [
        finding(f"term: the term '{term}' was not placed by {n} participant(s)", term=term)
        for term, n in (("a", 1), ("b", 2), ("c", 3))
    ]
    told = words.findings(rows, *TOLD)
    assert [(row["term"], row["message"]) for row in told] == [
        ("", "term: the term \u2026 was not placed by fewer than 3 participant(s)"),
        ("c", "term: the term \u2026 was not placed by 3 participant(s)"),
    ]


@pytest.mark.parametrize(
    "row",
    [
        finding("the same submission as 'p2' sent from 'makers'", "participants.csv", 4, "p1"),
        finding("pile: 7 cell(s) such as 'p3' were read as '3'", "sorts.csv", 4),
        finding("this file is not read", "sort-of.p1.csv"),
        finding("this file is not read", "p2"),
        finding("this file is not read", "sort_p2-final.csv"),
        finding("this file is not read", "p1-p3.csv"),
        finding("this file is not read", "P2.CSV"),
        finding("label: 'p3' is also the label of 'dill'", "terms.csv", 4),
    ],
)
def test_no_id_stands_in_what_is_told_of_findings(row):
    (told,) = words.findings([row], *TOLD)
    assert not {"p1", "p2", "p3"} & set(
        re.split(r"[^a-z0-9]+", " ".join(map(str, told.values())).lower())
    )


def test_a_file_keeps_a_name_in_which_an_id_is_part_of_a_word():
    (told,) = words.findings([finding("this file is not read", "p10-sp2.csv")], *TOLD)
    assert told["file"] == "p10-sp2.csv"


def test_somebodys_number_is_not_told_where_it_equals_that_of_the_terms():
    row = finding("pile: a participant did not place 96 of 96 terms", participant="p1")
    (told,) = words.findings([row], *TOLD)
    assert told["message"] == "pile: a participant did not place some of 96 terms"


def test_nobodys_wording_of_a_pile_is_told():
    (told,) = words.findings([finding("pile: 7 cell(s) such as 'wet dog' were read")], *TOLD)
    assert "wet dog" not in told["message"]


def test_how_many_rows_a_file_of_people_has_is_not_told():
    (told,) = words.findings([finding("74 row(s) under the header", "participants.csv")], *TOLD)
    assert "74" not in told["message"]


def test_findings_about_different_terms_stay_apart():
    rows = [finding("term: was not placed by 4 participant(s)", term=term) for term in "ab"]
    assert [told["term"] for told in words.findings(rows, *TOLD)] == ["a", "b"]


def test_what_is_told_of_findings_has_no_participant():
    (told,) = words.findings([finding("pile: left", participant="p1")], *TOLD)
    assert "p1" not in told.values()


@pytest.mark.parametrize(
    ("rules", "n", "said"),
    [
        (("all_apart",), 4, "4, every term apart"),
        (("joined",), 4, "4, for several reasons, told together since some name fewer than 3"),
        (("joined",), None, "fewer than 3; why is not told"),
    ],
)
def test_who_was_left_out_is_told_as_a_count_and_a_reason(rules, n, said):
    assert words.left_out({"population": "a", "rules": rules, "n": n}, 3) == said


def test_who_the_others_are_is_told_where_many_are_left_out_together():
    assert words.the_others(consensus.ALONE_AT_MOST) == ""
    assert max(map(len, consensus.left_out_together(consensus.ALONE_AT_MOST))) == 1
    told = words.the_others(consensus.ALONE_AT_MOST + 1)
    assert "more than 1,000 people" in told
    assert "a hundredth of the people" in told
    assert consensus.GROUPS == 100
