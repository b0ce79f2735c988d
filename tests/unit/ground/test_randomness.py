"""Random draws depend on their key and on nothing else."""

import numpy as np
from felloe.ground.randomness import Streams, stratified_draw


def draw(seed=1, study="s", purpose="p", replicate=0):
    return Streams(seed, study).generator(purpose, replicate).integers(2**62, size=4).tolist()


def test_the_same_key_gives_the_same_draws():
    assert draw() == draw()


def test_each_part_of_the_key_changes_the_draws():
    draws = [draw(), draw(seed=2), draw(study="t"), draw(purpose="q"), draw(replicate=1)]
    assert len({tuple(drawn) for drawn in draws}) == 5


def test_seeds_beyond_32_bits_are_told_apart():
    assert len({tuple(draw(seed=seed)) for seed in (1, 1 + 2**32, 1 + 2**64, 2**32)}) == 4


def test_study_and_purpose_cannot_run_into_each_other():
    assert draw(study="ab", purpose="c") != draw(study="a", purpose="bc")


def test_participants_are_drawn_within_their_population():
    populations = ["b", "a", "b", "b", "a"]
    for seed in range(20):
        drawn = stratified_draw(np.random.default_rng(seed), populations)
        assert [populations[i] for i in drawn] == ["a", "a", "b", "b", "b"]
