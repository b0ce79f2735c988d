"""What may be said of two editions turns where the numbers do; no small p says 'the same'."""

import re
from copy import deepcopy

import pytest
from felloe.editions import verdict as codes
from felloe.editions import verdict_words
from felloe.editions.verdict import verdict


def spread(median, low, high):
    return {"median": median, "low": low, "high": high}


def halves(low=0.75):
    return {
        "divisions": 60,
        "n_people": 40,
        "n_half": 20,
        "tiers": {"data_only": {"class": {"adjusted_rand": spread(low + 0.1, low, 0.95)}}},
        "migrations": {"moved": spread(3.0, 1.0, 6.0)},
    }


RECORD = {
    "older": {"edition": "2016", "provisional": False, "n_terms": 70},
    "newer": {"edition": "2026", "provisional": False, "n_terms": 80},
    "same_instruction": True,
    "preview": False,
    "terms": {"common": 60, "retired": 10, "new": 10, "split": 0, "merged": 0},
    "mantel": {"pearson": {"r": 0.9, "p": 0.0001}},
    "correspondence": {"found": True, "p": 0.0001, "level": 0.05},
    "tiers": {
        "published": {"class": {"adjusted_rand": 0.85}},
        "data_only": {"class": {"adjusted_rand": 0.85}},
    },
    "noise": {"older": halves(), "newer": halves()},
    "expected_moves": None,
    "migrations": {"robust": 0, "possible": 0, "noise": 0, "none": 60},
    "reliability": {"older": 0.95, "newer": 0.95},
    "corrected_r": {"low": 0.95, "says": "value"},
    "label_permutation": {"p_matched": 0.4},
    "placed_differently": {"named": 0, "level": 0.05},
}


def record(**changes):
    """Return the record with other values under some keys, their dots written as two underlines."""
    changed = deepcopy(RECORD)
    for key, value in changes.items():
        *path, last = key.split("__")
        place = changed
        for part in path:
            place = place[part]
        place[last] = value
    return changed


def rand(index, **changes):
    """Return a record whose classes agree so much, in both charts."""
    return record(
        tiers__published__class={"adjusted_rand": index},
        tiers__data_only__class={"adjusted_rand": index},
        **changes,
    )


def said(found):
    return [one.sentence for one in verdict_words.told(found)]


def test_where_nothing_differs_all_is_the_same():
    found = verdict(RECORD)
    assert (found.structure, found.words, found.people, found.stock) == (
        codes.SAME,
        codes.NONE_MOVED,
        codes.SEEN_SAME,
        codes.SAME_WORDS,
    )
    assert found.cautions == found.beyond == ()


@pytest.mark.parametrize("r", [0.2, 0.99])
@pytest.mark.parametrize("index", [-0.02, 0.0, 0.03])
@pytest.mark.parametrize("is_found", [True, False])
@pytest.mark.parametrize("low", [-0.1, 0.0, 0.5])
def test_a_significant_mantel_with_an_adjusted_rand_near_zero_is_never_the_same(
    r, index, is_found, low
):
    given = rand(
        index,
        mantel__pearson={"r": r, "p": 0.0001},
        correspondence__found=is_found,
        noise={"older": halves(low), "newer": halves(low)},
    )
    structure = verdict(given).structure
    assert structure not in (codes.SAME, codes.ALIKE_BUT)
    sentence = said(verdict(given))[0]
    assert re.search("are not those of|cannot be told|little in common|not found to", sentence)


def test_distances_may_be_related_where_classes_are_not():
    given = rand(0.0, correspondence__found=False)
    assert verdict(given).structure == codes.NEAR_NOT_SAME
    apart = rand(0.0, correspondence__found=False, mantel__pearson={"r": 0.0, "p": 0.4})
    assert verdict(apart).structure == codes.UNRELATED


def test_without_correspondence_nothing_is_said_of_moves():
    given = record(correspondence__found=False, migrations__robust=9)
    assert verdict(given).words == codes.NO_CORRESPONDENCE
    assert "stayed in its class or moved" in said(verdict(given))[1]


@pytest.mark.parametrize(
    "changes",
    [
        {"reliability__older": None},
        {"reliability__newer": 0.69},
        {"noise__older": None},
        {"noise__newer": None},
    ],
)
@pytest.mark.parametrize("is_found", [True, False])
def test_of_too_few_people_nothing_is_said(changes, is_found):
    found = verdict(record(**changes, correspondence__found=is_found))
    assert found.structure == found.words == found.people == codes.TOO_FEW
    assert all(re.search("cannot be (told|compared)", sentence) for sentence in said(found))


@pytest.mark.parametrize(
    ("index", "low", "structure"),
    [
        (0.60, 0.55, codes.SAME),
        (0.60, 0.65, codes.ALIKE_BUT),
        (0.59, 0.55, codes.CANNOT_TELL),
        (0.59, 0.65, codes.CHANGED),
        (0.20, 0.65, codes.CHANGED),
        (0.19, 0.65, codes.LITTLE_SHARED),
        (0.19, 0.15, codes.CANNOT_TELL),
    ],
)
def test_classes_are_judged_by_their_agreement_and_by_what_halves_show(index, low, structure):
    given = rand(index, noise={"older": halves(low), "newer": halves(low)})
    assert verdict(given).structure == structure


@pytest.mark.parametrize(
    ("older", "newer", "beyond"),
    [(0.8, 0.6, ("older",)), (0.6, 0.8, ("newer",)), (0.8, 0.8, ("older", "newer"))],
)
def test_it_is_said_which_halves_agree_better(older, newer, beyond):
    found = verdict(rand(0.7, noise={"older": halves(older), "newer": halves(newer)}))
    assert (found.structure, found.beyond) == (codes.ALIKE_BUT, beyond)
    assert "{beyond}" not in said(found)[0]
    assert "agree better" in said(found)[0]


@pytest.mark.parametrize(
    ("robust", "possible", "words"),
    [
        (0, 0, codes.NONE_MOVED),
        (0, 1, codes.NONE_ROBUST),
        (1, 0, codes.SOME_MOVED),
        (14, 0, codes.SOME_MOVED),
        (15, 0, codes.MANY_MOVED),
    ],
)
def test_words_are_counted_by_grade(robust, possible, words):
    given = record(migrations__robust=robust, migrations__possible=possible)
    assert verdict(given).words == words


@pytest.mark.parametrize(("robust", "words"), [(2, codes.AS_CHANCE), (3, codes.SOME_MOVED)])
def test_as_many_moves_as_simulation_made_of_none_are_no_news(robust, words):
    # 2.5 % of 60 words are 1.5: a second one is chance too
    given = record(migrations__robust=robust, expected_moves={"still_robust": [0.0, 0.025]})
    assert verdict(given).words == words


@pytest.mark.parametrize(
    ("retired", "new", "stock"),
    [  # a fifth of 70 and of 80 words
        (14, 16, codes.SAME_WORDS),
        (14, 17, codes.MORE_WORDS),
        (15, 16, codes.FEWER_WORDS),
        (15, 17, codes.OTHER_WORDS),
    ],
)
def test_the_stock_of_words_is_told_by_what_went_and_what_came(retired, new, stock):
    given = record(terms__retired=retired, terms__new=new)
    assert verdict(given).stock == stock
    assert ("same vocabulary" in said(verdict(given))[1].lower()) == (stock == codes.SAME_WORDS)


@pytest.mark.parametrize(
    ("split", "merged", "said_of"),
    [(0, 0, []), (1, 0, ["split"]), (0, 2, ["merged"]), (1, 2, ["split", "merged"])],
)
def test_the_sentence_on_words_tells_of_those_outside_the_moves(split, merged, said_of):
    found = verdict(record(terms__split=split, terms__merged=merged))
    assert list(found.reshaped) == said_of
    quoted = re.findall(r"\{terms\.(\w+)\|count\} (\w+) into \{terms\.(\w+)\|", said(found)[1])
    assert quoted == [(change, change, f"{change}_into") for change in said_of]


@pytest.mark.parametrize(
    ("low", "p", "named", "people"),
    [
        (0.9, 0.06, 0, codes.SEEN_SAME),
        (0.9, 0.05, 0, codes.SEEN_ALIKE_BUT),
        (0.9, 0.06, 1, codes.SEEN_ALIKE_BUT),
        (0.89, 0.06, 0, codes.NOT_SHOWN),
        (0.89, 0.05, 0, codes.SEEN_APART_SAME_CLASSES),
        (0.89, 0.06, 1, codes.SEEN_APART_SAME_CLASSES),
    ],
)
def test_people_are_judged_by_interval_test_and_named_words(low, p, named, people):
    given = record(
        corrected_r__low=low, label_permutation__p_matched=p, placed_differently__named=named
    )
    assert verdict(given).people == people


def test_people_who_differ_are_told_with_classes_only_where_these_stayed():
    apart = {"corrected_r__low": 0.5, "label_permutation__p_matched": 0.001}
    assert "though the classes" in said(verdict(record(**apart)))[2]
    assert verdict(rand(0.3, **apart)).people == codes.SEEN_APART
    assert "though the classes" not in said(verdict(rand(0.3, **apart)))[2]


@pytest.mark.parametrize("says", ["no_bound", "nothing"])
def test_without_a_bound_nothing_is_said_of_people(says):
    given = record(corrected_r={"low": 0.95, "says": says})
    assert verdict(given).people == codes.TOO_FEW
    assert verdict(record(corrected_r={"low": None, "says": "value"})).people == codes.TOO_FEW


@pytest.mark.parametrize(
    ("changes", "caution"),
    [
        ({"same_instruction": False}, codes.ASKED_OTHERWISE),
        ({"older__in_parts": True}, codes.ONE_IN_PARTS),
        ({"newer__in_parts": True}, codes.ONE_IN_PARTS),
        ({"older__in_parts": True, "newer__in_parts": True}, codes.BOTH_IN_PARTS),
        ({"newer__provisional": True}, codes.ONE_PROVISIONAL),
        ({"older__provisional": True, "newer__provisional": True}, codes.BOTH_PROVISIONAL),
        ({"preview": True}, codes.PREVIEW),
    ],
)
def test_what_weakens_the_verdict_is_a_caution_and_turns_nothing_else(changes, caution):
    found = verdict(record(**changes))
    assert found.cautions == (caution,)
    assert said(found) == said(verdict(RECORD))
    assert bool(verdict_words.asked_otherwise(found)) == (caution == codes.ASKED_OTHERWISE)


def test_every_code_has_words_of_its_own():
    for words in (verdict_words.STRUCTURE, verdict_words.MOVES, verdict_words.PEOPLE):
        assert len(set(words.values())) == len(words)
    assert set(verdict_words.STRUCTURE) == {
        codes.TOO_FEW, codes.UNRELATED, codes.NEAR_NOT_SAME, codes.SAME, codes.ALIKE_BUT,
        codes.CANNOT_TELL, codes.CHANGED, codes.LITTLE_SHARED,
    }  # fmt: skip
    assert set(verdict_words.MOVES) == {
        codes.TOO_FEW, codes.NO_CORRESPONDENCE, codes.NONE_MOVED, codes.NONE_ROBUST,
        codes.AS_CHANCE, codes.SOME_MOVED, codes.MANY_MOVED,
    }  # fmt: skip


def test_a_verdict_is_one_sentence_each():
    for words in (verdict_words.STRUCTURE, verdict_words.PEOPLE):
        for sentence in words.values():
            plain = re.sub(r"\{[^}]*\}", "X", sentence)
            assert plain.count(".") == 1
            assert plain.endswith(".")


def test_words_keep_no_numbers_of_their_own():
    for words in (verdict_words.STRUCTURE, verdict_words.MOVES, verdict_words.PEOPLE):
        for sentence in words.values():
            assert not re.search(r"\d", sentence)
