"""How people did the task: definitions by slow loops, and the rules that leave people out."""

import re
from itertools import pairwise, permutations

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.people.counts import count_cooccurrence
from felloe.ground.people.sorts import Sorts
from felloe.settings import resolve
from felloe.validation.screened.consensus import agreement_with_others
from felloe.validation.screened.order_followed import chances_of_neighbours, order_following
from felloe.validation.screened.screening import check_left, exclusions, flow, kept_sorts, screened
from felloe.validation.screened.task import (
    Received,
    identical_submissions,
    identical_to_kept,
    task_profile,
)
from felloe.validation.settings import ScreeningRules
from scipy.cluster.hierarchy import cut_tree, linkage
from scipy.spatial.distance import squareform
from sorting_examples import dissimilarity
from study_folder import LIMITS, RULES, SETTINGS, reference_rows

LETTERS = [f"term {i:02d}" for i in range(40)]


def received(piles, positions=None, minutes=None, populations=None):
    piles = np.asarray(piles, dtype=np.int16)
    n, terms = piles.shape
    names = tuple(f"p{i:02d}" for i in range(n))
    return Received(
        Sorts(names, tuple(populations or ["makers"] * n), tuple(LETTERS[:terms]), piles),
        np.full(n, np.nan) if minutes is None else np.asarray(minutes, dtype=float),
        np.zeros(piles.shape, dtype=np.int32) if positions is None else np.asarray(positions),
    )


def careful(n, terms=40, seed=1):
    """Return sorts that differ from person to person around classes in no order of the alphabet."""
    rng = np.random.default_rng(seed)
    classes = rng.permutation(terms) % 6
    piles = np.array(
        [np.where(rng.random(terms) < 0.3, rng.integers(0, 6, terms), classes) for _ in range(n)]
    )
    return piles + 1


def status(people):
    return {person["participant"]: person["reason"] for person in people}


def test_pair_share_of_the_example_piles():
    # piles of 10, 5, 5, 3 and 1 of 24 terms: 0.24638, from the methods literature's worked value
    piles = np.repeat([1, 2, 3, 4, 5], [10, 5, 5, 3, 1])
    assert task_profile(piles).pairs_together_share == pytest.approx(0.24638, abs=5e-6)


@pytest.mark.parametrize(("n_piles", "share"), [(4, 0.2424), (10, 0.0909), (25, 0.0303)])
def test_pair_share_of_equal_piles_of_a_hundred_terms(n_piles, share):
    piles = np.arange(100) % n_piles
    assert task_profile(piles).pairs_together_share == pytest.approx(share, abs=5e-5)


def test_unplaced_terms_are_in_no_pile_and_in_no_share():
    profile = task_profile(np.array([1, 1, 2, -1, -1]))
    assert (profile.sizes, profile.n_unplaced) == ((2, 1), 2)
    assert profile.pairs_together_share == pytest.approx(1 / 3)


def test_entropy_of_equal_piles_is_the_logarithm_of_their_number():
    assert task_profile(np.arange(32) % 8).entropy == pytest.approx(3.0, abs=1e-12)


@pytest.mark.parametrize(
    "sizes", [(3, 2, 1), (2, 2, 2), (4, 3), (1, 1, 1, 1), (5,), (6, 1), (3, 3, 1)]
)
def test_chances_of_neighbours_equal_a_count_of_all_orders(sizes):
    piles = np.repeat(np.arange(len(sizes)), sizes)
    counts = np.zeros(len(piles))
    for order in permutations(piles.tolist()):
        counts[sum(a == b for a, b in pairwise(order))] += 1
    np.testing.assert_allclose(chances_of_neighbours(sizes), counts / counts.sum(), atol=1e-12)


def test_chances_of_neighbours_do_not_depend_on_which_pile_is_laid_first():
    np.testing.assert_allclose(
        chances_of_neighbours((9, 7, 5, 1)), chances_of_neighbours((1, 5, 7, 9)), atol=1e-12
    )


def test_the_permutation_p_of_order_following_is_what_random_orders_give():
    rng = np.random.default_rng(3)
    piles = np.repeat(np.arange(8), 12)
    order = np.argsort(rng.permutation(96))
    index, p = order_following(piles, order)
    shuffled = rng.permuted(np.tile(piles, (20_000, 1)), axis=1)
    as_high = ((shuffled[:, 1:] == shuffled[:, :-1]).mean(axis=1) >= index - 1e-12).mean()
    assert p == pytest.approx(as_high, abs=4 * np.sqrt(p * (1 - p) / 20_000))


def test_order_following_is_the_share_of_neighbours_in_the_order_that_share_a_pile():
    # order of presentation: terms 2, 0, 3, 1 with piles a, a, b, b: two of three neighbours
    index, _ = order_following(np.array([1, 2, 1, 2]), np.array([2, 4, 1, 3]))
    assert index == pytest.approx(2 / 3)


def test_order_following_passes_over_terms_that_were_not_placed():
    whole = order_following(np.array([1, 1, 2, 2]), np.arange(4))
    assert order_following(np.array([1, -1, 1, 2, 2]), np.arange(5)) == whole


def test_a_permutation_p_is_never_zero():
    _, p = order_following(np.repeat(np.arange(10), 10), np.arange(100))
    assert 0.0 < p < 1e-50


def test_agreement_with_others_equals_the_definition_for_the_kinship_sorts():
    # the slow way with general software: scipy's linkage of the others alone, cut_tree at K
    rows = reference_rows("data/kinship_women_single_sorts_wide.csv")
    piles = np.array([[int(value) for value in list(row.values())[1:]] for row in rows])
    expected = []
    for i in range(len(piles)):
        apart = dissimilarity(*count_cooccurrence(np.delete(piles, i, axis=0)))
        tree = linkage(squareform(apart), "average")
        consensus = cut_tree(tree, n_clusters=len(set(piles[i].tolist())))[:, 0]
        expected.append(adjusted_rand(piles[i], consensus))
    np.testing.assert_allclose(agreement_with_others(piles), expected, atol=1e-12)


def test_agreement_does_not_depend_on_the_numbering_of_piles():
    piles = careful(8)
    np.testing.assert_array_equal(agreement_with_others(piles), agreement_with_others(7 - piles))


def test_a_participant_of_one_pile_agrees_with_nobody():
    piles = careful(6)
    piles[0] = 1
    assert agreement_with_others(piles)[0] == 0.0


def test_nobody_is_left_out_for_disagreeing():
    piles = careful(12)
    piles[0] = np.random.default_rng(9).permutation(40) % 6 + 1
    people = screened(received(piles), LETTERS, RULES)
    assert people[0]["agreement_with_others"] < 0.1
    assert {person["status"] for person in people} == {"kept"}


@pytest.mark.parametrize("key", ["agreement", "disagreement", "minimum_agreement", "outliers"])
def test_a_rule_that_excludes_dissent_is_refused_with_the_reason(key):
    with pytest.raises(StudyError, match="never left out for disagreeing") as refusal:
        resolve({"screening": {key: 0.2}})
    assert "manufactures" in str(refusal.value)


def one_pile(piles):
    piles[0] = 3


def all_apart(piles):
    piles[0] = np.arange(1, 41)


def sent_twice(piles):
    piles[1] = piles[0]


def half_unplaced(piles):
    piles[0, :20] = -1


@pytest.mark.parametrize(
    ("change", "who", "reason"),
    [
        (one_pile, "p00", "all terms in one pile"),
        (all_apart, "p00", "every term apart"),
        (sent_twice, "p01", "the same submission as another participant"),
        (half_unplaced, "p00", "more than 25% of the terms unplaced"),
    ],
)
def test_a_careless_submission_is_left_out_with_its_reason(change, who, reason):
    piles = careful(8)
    change(piles)
    reasons = status(screened(received(piles), LETTERS, RULES))
    assert reasons.pop(who) == reason
    assert set(reasons.values()) == {""}


def test_who_sent_the_same_before_is_named_in_a_column_of_its_own():
    piles = careful(8)
    sent_twice(piles)
    people = screened(received(piles), LETTERS, RULES)
    assert [person["same_as"] for person in people] == ["", "p00", *[""] * 6]


def test_no_reason_names_a_participant():
    piles = careful(8)
    for change in (sent_twice, half_unplaced):
        change(piles)
    people = screened(received(piles), LETTERS, RULES)
    words = {word for person in people for word in re.split(r"\W+", person["reason"])}
    assert not words & {person["participant"] for person in people}


def switched_off():
    off = {"use": False}
    rules = {
        key: {**value, **off} if isinstance(value, dict) else False
        for key, value in SETTINGS["screening"].items()
    }
    return ScreeningRules.of(rules)


def test_every_rule_can_be_switched_off():
    piles = careful(8)
    for number, change in enumerate((one_pile, all_apart, half_unplaced)):
        rows = piles[number : number + 1]
        change(rows)
    piles[4] = piles[5]
    order = np.tile(np.arange(1, 41), (8, 1))
    order[6] = np.argsort(np.argsort(piles[6], kind="stable")) + 1
    everything = received(piles, order, np.full(8, 0.1))
    assert all(status(screened(everything, LETTERS, RULES)).values())
    assert not any(status(screened(everything, LETTERS, switched_off())).values())


def test_who_was_faster_than_can_be_read_is_left_out():
    reasons = status(screened(received(careful(4), minutes=[0.5, 5, 5, np.nan]), LETTERS, RULES))
    assert reasons["p00"].startswith("too fast")
    assert [reasons[name] for name in ("p01", "p02", "p03")] == ["", "", ""]


def test_piles_that_follow_the_order_of_presentation_are_left_out():
    piles, order = careful(4), np.tile(np.arange(1, 41), (4, 1))
    order[2] = np.argsort(np.argsort(piles[2], kind="stable")) + 1
    reasons = status(screened(received(piles, order), LETTERS, RULES))
    assert reasons["p02"] == "piles follow the order of presentation"


def test_piles_in_alphabetical_order_are_shown_and_by_default_kept():
    piles = careful(4)
    piles[0] = np.repeat(np.arange(1, 9), 5)
    people = screened(received(piles), LETTERS, RULES)
    assert people[0]["alphabet_following"] == pytest.approx(32 / 39)
    assert people[0]["alphabet_following_p"] < 1e-9
    assert people[0]["status"] == "kept"


def who_goes_before(piles, order):
    """Return, for each of several people of one population, who goes before with the same."""
    submissions = identical_submissions(piles, order, ["makers"] * len(piles), 30)
    return identical_to_kept(submissions, np.ones(len(piles), dtype=bool)).tolist()


def test_two_people_may_make_the_same_piles_of_a_few_terms():
    piles = np.tile([1, 1, 2, 2, 3, 3], (3, 1))
    assert who_goes_before(piles, np.zeros_like(piles)) == [-1, -1, -1]


def test_the_same_piles_of_a_few_terms_seen_in_the_same_random_order_were_sent_twice():
    piles = np.tile([1, 1, 2, 2, 3, 3], (3, 1))
    order = np.array([[1, 2, 3, 4, 5, 6], [6, 5, 4, 3, 2, 1], [1, 2, 3, 4, 5, 6]])
    assert who_goes_before(piles, order) == [-1, -1, 0]


def test_an_order_that_everybody_saw_is_no_evidence_of_a_second_submission():
    piles = np.tile([1, 1, 2, 2, 3, 3], (3, 1))
    order = np.tile(np.arange(1, 7), (3, 1))
    assert who_goes_before(piles, order) == [-1, -1, -1]


def test_a_third_submission_is_traced_to_the_first():
    piles = np.tile(careful(1)[0], (3, 1))
    assert who_goes_before(piles, np.zeros_like(piles)) == [-1, 0, 0]


def test_of_the_same_submissions_the_one_that_no_other_rule_excludes_is_kept():
    piles = careful(5)
    piles[3] = piles[1]  # p01 was too fast to have read the words, p03 was not
    people = screened(received(piles, minutes=[9, 0.1, 9, 9, 9]), LETTERS, RULES)
    reasons = {row["participant"]: row["rules"] for row in people}
    assert reasons["p01"] == ("too_fast", "identical_submissions")
    assert reasons["p03"] == ()
    assert people[1]["same_as"] == "p03"


@pytest.mark.parametrize("minutes", [(0.1, 9.0), (9.0, 0.1), (7.0, 9.0), (0.1, 0.2)])
def test_whichever_of_two_ids_sent_a_submission_the_same_one_is_kept(minutes):
    piles = careful(5)
    piles[3] = piles[1]
    kept = []
    for first, second in (minutes, minutes[::-1]):
        sent = received(piles, minutes=[9, first, 9, second, 9]).in_canonical_order()
        rows = screened(sent, LETTERS, RULES)
        kept.append([(row["minutes"], row["rules"]) for row in rows])
    assert kept[0] == kept[1]


def test_the_same_submission_from_two_populations_is_kept_in_both():
    piles = careful(4)
    piles[3] = piles[0]
    people = screened(
        received(piles, populations=["makers", "makers", "panel", "panel"]), LETTERS, RULES
    )
    assert [row["status"] for row in people] == ["kept"] * 4


def test_the_account_of_the_participants_adds_up():
    piles = careful(9)
    piles[0], piles[3], piles[4] = 1, -1, -1
    piles[4, 0] = 1
    populations = ["makers", "panel", "panel"] * 3
    rows = flow(screened(received(piles, populations=populations), LETTERS, RULES))
    assert [tuple(row.values()) for row in rows] == [
        ("makers", "received", 3, 0),
        ("makers", "valid", 2, 1),
        ("makers", "analysed", 1, 1),
        ("panel", "received", 6, 0),
        ("panel", "valid", 5, 1),
        ("panel", "analysed", 5, 0),
    ]


def test_exclusions_count_people_by_their_reasons_and_name_nobody():
    piles = careful(9)
    piles[0], piles[6], piles[3] = 1, 1, -1
    piles[4, 1:] = -1
    populations = ["makers", "panel", "panel"] * 3
    rows = exclusions(screened(received(piles, populations=populations), LETTERS, RULES))
    # p06 made one pile and sent what p00 had sent: one person, counted once, under both rules
    assert [tuple(row.values()) for row in rows] == [
        ("makers", "valid", ("fewer_than_two_placed",), 1),
        ("makers", "analysed", ("all_in_one",), 1),
        ("makers", "analysed", ("all_in_one", "identical_submissions"), 1),
        ("panel", "valid", ("fewer_than_two_placed",), 1),
    ]


def test_every_rule_of_the_settings_has_its_code():
    piles, order = careful(8), np.tile(np.arange(1, 41), (8, 1))
    for number, change in ((0, one_pile), (1, all_apart), (2, half_unplaced)):
        change(piles[number : number + 1])
    piles[4] = piles[5]
    order[5] = order[4] = order[4][::-1]
    order[6] = np.argsort(np.argsort(piles[6], kind="stable")) + 1
    everything = received(piles, order, [9, 9, 9, 0.1, 9, 9, 9, 9])
    codes = {code for row in screened(everything, LETTERS, RULES) for code in row["rules"]}
    assert codes == set(SETTINGS["screening"])


def test_the_sorts_of_other_participants_are_not_kept_by_mistake():
    whole = received(careful(5))
    people = screened(whole, LETTERS, RULES)
    with pytest.raises(ValueError, match="not those of the sorts"):
        kept_sorts(whole.sorts.rows([1, 0, 2, 3, 4]), people)


def test_screening_that_leaves_too_few_is_refused_with_who_was_left_out():
    piles = careful(5)
    one_pile(piles)
    all_apart(piles[1:])
    whole = received(piles)
    with pytest.raises(StudyError, match=r"leaves 3 of 5 .*p00 \(all terms in one pile\)"):
        check_left(whole.sorts, screened(whole, LETTERS, RULES), LIMITS)


def test_a_pair_that_only_the_excluded_placed_is_named():
    piles = careful(8)
    piles[:, 0], piles[:, 1] = -1, -1
    piles[:4, 0], piles[4:, 1] = 1, 2
    whole = received(piles)
    with pytest.raises(StudyError, match="'term 00' and 'term 01'"):
        check_left(whole.sorts, screened(whole, LETTERS, RULES), LIMITS)


def test_adding_a_participant_of_one_pile_multiplies_the_distances():
    # known identity: n people and one more with a single pile give D times n / (n + 1)
    piles = careful(9)
    before = dissimilarity(*count_cooccurrence(piles))
    after = dissimilarity(*count_cooccurrence(np.vstack([piles, np.ones(40, dtype=int)])))
    np.testing.assert_allclose(after, before * 9 / 10, atol=1e-11)


def test_adding_a_participant_of_singles_shifts_the_distances():
    # known identity: D becomes (nD + 1) / (n + 1) off the diagonal
    piles = careful(9)
    before = dissimilarity(*count_cooccurrence(piles))
    after = dissimilarity(*count_cooccurrence(np.vstack([piles, np.arange(40)])))
    off = ~np.eye(40, dtype=bool)
    np.testing.assert_allclose(after[off], (9 * before[off] + 1) / 10, atol=1e-11)
