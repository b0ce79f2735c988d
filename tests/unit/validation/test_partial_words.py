"""What is told of the sizes of sets that were shown: nothing of a few people."""

import numpy as np
import pytest
from felloe.validation import partial_words as words
from felloe.validation.canonical import shown_record


def about(numbers, least=3, n_terms=20):
    shown = np.arange(n_terms) < np.array(numbers)[:, None]
    return shown_record(shown, least)


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ([9] * 8, "Each participant was shown 9 of the 20 terms, and sorted them"),
        ([5, *[9] * 8], "All but a few participants were shown 9 of the 20 terms"),
        ([5, 5, *[9] * 8, 14], "All but a few participants were shown 9 of the 20 terms"),
        ([5] * 3 + [9] * 8 + [14] * 3, "Each participant was shown 5 to 14 (median 9) of the 20"),
        ([4, *[20] * 8], "All but a few participants were shown 20 of the 20 terms"),
        ([4, 6, 8, 10], "All but a few participants were shown 6 to 8 (median 7) of the 20"),
    ],
)
def test_how_many_were_shown_is_told_of_three_people_or_more(numbers, said):
    assert words.asked(about(numbers), 20).startswith(said)


@pytest.mark.parametrize("seed", range(20))
def test_fewer_than_three_people_lie_beyond_what_is_told_and_are_said(seed):
    rng = np.random.default_rng(seed)
    numbers = rng.integers(2, 20, rng.integers(6, 15))
    told = about(numbers)["terms_per_participant"]
    below, above = (numbers < told["least"]).sum(), (numbers > told["largest"]).sum()
    assert max(below, above) < 3
    assert (numbers <= told["least"]).sum() >= 3
    assert (numbers >= told["largest"]).sum() >= 3
    assert told.get("but_a_few", False) == bool(below or above)
