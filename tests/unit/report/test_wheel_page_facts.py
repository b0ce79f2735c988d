"""What the wheel's page tells of a term and of a class, from the chart's own numbers."""

import json

import pytest
from felloe.report.chart import chart_terms
from page_reader import Reader
from wheel_page_example import PAGE_WORDS, changed, moved_beside, written


def test_a_caution_that_nobody_gave_is_not_assessed(small):
    read = Reader(written(changed(small, lambda term: term.update(caution=None))))
    told = set(read.told("caution"))
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
    data = read.data()
    assert {len(found) for found in data["nearest"].values()} == {1}
    assert {found[0][1] for found in data["nearest"].values()} == {0.4}
    assert len(read.all("div", class_="fact nearest")) == sum(1 for _ in chart_terms(small, True))


def test_a_decision_stands_with_its_reason(chart, page):
    moved = moved_beside(chart)
    assert moved
    for decision, label in moved:
        assert f"Beside {label}: {decision['reason']}" in page


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
    told = Reader(written(chart)).told("next")
    expected = []
    for at, class_ in enumerate(ring):
        before, after = ring[at - 1], ring[(at + 1) % len(ring)]
        expected += [f"{after['name']}: {gap(class_)}", f"{before['name']}: {gap(before)}"]
    assert [text.replace("?", "") for text in told] == expected


def test_a_chart_of_one_class_names_no_neighbour(small):
    page = written({**small, "classes": small["classes"][:1]})
    assert Reader(page).told("next") == []


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
    texts = {text.strip() for text in read.told("colour")}
    assert texts == {told}
    drawn = [found["fill"] for _, found in read.all("circle", class_="picked")]
    assert set(drawn) == ({dot} if dot else set())
    assert "tint" not in "".join(text for key, text in PAGE_WORDS.items())
