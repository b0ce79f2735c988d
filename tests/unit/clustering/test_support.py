"""Supports against published ones, and against data without structure."""

from dataclasses import replace

import numpy as np
import pytest
from felloe.clustering.choice import Limits
from felloe.clustering.replicates.bootstrap import Bootstrap, Plan, Redrawn, draw_part, gathered
from felloe.clustering.replicates.consensus import RogueRule
from felloe.clustering.replicates.multiscale import SCALES, approximately_unbiased
from felloe.clustering.replicates.null import collect_null, cophenetic_null
from felloe.clustering.replicates.redraws import (
    draw,
    make_basis,
    permuted_basis,
    redraw_trees,
    scale_drawn,
)
from felloe.clustering.replicates.replicate_trees import cuts
from felloe.clustering.replicates.summary import (
    convention,
    multiscale_supports,
    summarise_classes,
    summarise_nodes,
)
from felloe.clustering.replicates.support import (
    cut_support,
    node_support,
    null_cuts,
    null_nodes,
    null_of_nodes,
    size_band,
)
from felloe.clustering.words import READINGS
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import cophenetic_correlation
from felloe.ground.groups.tree import tree_of
from felloe.ground.randomness import Streams
from felloe.ground.squares import squared
from felloe.ground.terms import DifferentTerms, Terms
from sorting_examples import planted_piles, populations_of

STREAMS = Streams(9, "support")
REPLICATES, NULL_SETS, NULL_REPLICATES = 200, 10, 60


def bootstrap_of(basis, streams=STREAMS):
    """Everything that the gathering step has: tree, replicates, and the same without structure."""
    terms = Terms(f"t{one:03d}" for one in range(basis.n_terms))
    plan = Plan(REPLICATES, NULL_SETS, NULL_REPLICATES, 0)
    redrawn = gathered([draw_part(terms, basis, "average", streams, plan, "1-of-1")])
    distances = Distances(terms, squared(basis.observed, basis.n_terms))
    null = collect_null(basis, "average", streams, NULL_SETS, redrawn.null_merges)
    return Bootstrap(tree_of(distances, "average"), distances, "average", redrawn, null)


def summaries(basis, number, streams=STREAMS):
    made = bootstrap_of(basis, streams)
    without = null_cuts(made.null.trees, made.null.merges, [number])[number]
    found = summarise_classes(made, number, without, RogueRule(0.6, 0.1))
    return found, summarise_nodes(made, found.rogues, 0.5)


@pytest.fixture(scope="module")
def structured():
    piles, classes = planted_piles(40, 5, 6, 0.15, seed=31)
    return make_basis(piles, populations_of(40)), classes


def test_bootstrap_proportions_of_the_women_are_those_published(reference):
    # values/kinship_women_single_pvclust_average.csv: R pvclust, 2000 redraws of the people
    piles, terms = reference.kinship_piles()
    basis = make_basis(piles, ["women"] * 85)
    merges = redraw_trees(basis, "average", STREAMS, range(4000))
    place = {term: one for one, term in enumerate(terms)}
    for row in reference.rows("values/kinship_women_single_pvclust_average.csv")[:-1]:
        group = np.zeros((1, 15), dtype=bool)
        group[0, [place[term] for term in row["members"].split(" ")]] = True
        share = float(row["raw_bp_r1"])
        error = np.sqrt(max(share * (1 - share), 0.001) * (1 / 2000 + 1 / 4000))
        # four standard errors of the difference of two Monte-Carlo shares
        assert abs(node_support(merges, group).proportion[0] - share) < 4 * error


def test_approximately_unbiased_supports_of_the_women_are_those_published(reference):
    # the same table: AU and its standard error from R pvclust's fit over ten sizes
    piles, terms = reference.kinship_piles()
    basis = make_basis(piles, ["women"] * 85)
    place = {term: one for one, term in enumerate(terms)}
    rows = [
        row
        for row in reference.rows("values/kinship_women_single_pvclust_average.csv")
        if 1 - float(row["au"]) > 0.001 and float(row["bp_fitted"]) < 0.99
    ]
    groups = np.zeros((len(rows), 15), dtype=bool)
    for one, row in enumerate(rows):
        groups[one, [place[term] for term in row["members"].split(" ")]] = True
    shares = np.array(
        [
            node_support(
                redraw_trees(basis, "average", STREAMS, range(1500), f"scale-{size}", size), groups
            ).proportion
            for size in SCALES
        ]
    )
    au, v, c = approximately_unbiased(shares, 1500)
    from scipy.special import ndtr

    assert len(rows) == 2
    for one, row in enumerate(rows):
        # four standard errors of theirs, and as many of ours
        assert abs(au[one] - float(row["au"])) < 4 * np.sqrt(2) * float(row["se_au"])
        fitted = 1 - ndtr(v[one] + c[one])
        assert abs(fitted - float(row["bp_fitted"])) < 4 * np.sqrt(2) * float(row["se_bp"])


@pytest.mark.parametrize(("v", "c"), [(-1.2, 0.3), (0.4, 0.1), (-0.2, -0.05)])
def test_the_multiscale_fit_finds_its_own_model(v, c):
    # Shimodaira (2004): BP at scale r is 1 - Phi(v sqrt(r) + c / sqrt(r)); AU = 1 - Phi(v - c)
    from scipy.stats import norm

    root = np.sqrt(np.array(SCALES))
    shares = 1 - norm.cdf(v * root + c / root)
    au, fitted_v, fitted_c = approximately_unbiased(shares[:, None], 1000)
    assert fitted_v[0] == pytest.approx(v, abs=1e-6)
    assert fitted_c[0] == pytest.approx(c, abs=1e-6)
    assert au[0] == pytest.approx(1 - norm.cdf(v - c), abs=1e-6)


@pytest.mark.parametrize("size", SCALES)
def test_the_scale_of_a_draw_is_the_share_of_people_really_drawn(size):
    # 3 and 7 people: half of them are not 5 but 2 and 4
    basis = make_basis(np.zeros((10, 4), dtype=int), ["a"] * 3 + ["b"] * 7)
    counts, _ = draw(basis, STREAMS, 0, "scale", size)
    assert scale_drawn(basis, size) == counts.sum() / 10
    assert scale_drawn(basis, 0.5) == 0.6


def test_the_multiscale_fit_takes_the_scales_that_were_drawn():
    from scipy.stats import norm

    basis = make_basis(np.zeros((10, 4), dtype=int), ["a"] * 3 + ["b"] * 7)
    drawn = np.array([scale_drawn(basis, size) for size in SCALES])
    v, c, trees = -0.2, 0.1, 20_000
    shares = 1 - norm.cdf(v * np.sqrt(drawn) + c / np.sqrt(drawn))
    merges = np.empty((len(SCALES), trees, 3, 2), dtype=np.uint16)
    merges[:] = [[0, 2], [1, 3], [4, 5]]
    for one, share in enumerate(shares):
        merges[one, : round(share * trees)] = [[0, 1], [2, 3], [4, 5]]
    none = merges[0, :0]
    redrawn = Redrawn(Terms("abcd"), none, none[None], merges, drawn)
    au = multiscale_supports(redrawn, np.array([[True, True, False, False]]))
    assert au[0] == pytest.approx(1 - norm.cdf(v - c), abs=1e-3)


def test_parts_know_the_scales_that_were_drawn():
    basis = make_basis(np.arange(40).reshape(10, 4) % 3, ["a"] * 3 + ["b"] * 7)
    terms, plan = Terms("abcd"), Plan(2, 1, 1, 2)
    part = draw_part(terms, basis, "average", STREAMS, plan, "1-of-1")
    assert part.scales.tolist() == [scale_drawn(basis, size) for size in SCALES]
    assert gathered([part]).scales.tolist() == part.scales.tolist()


def test_a_group_found_always_has_nothing_to_fit():
    au, v, c = approximately_unbiased(np.ones((10, 1)), 1000)
    assert au[0] == 1.0
    assert np.isnan(v[0])
    assert np.isnan(c[0])


def test_support_does_not_depend_on_how_many_trees_are_looked_at_together(structured, monkeypatch):
    from felloe.clustering.replicates import support

    made = bootstrap_of(structured[0])
    merges, groups = made.redrawn.merges, made.tree.members()[:-1]
    whole = node_support(merges, groups)
    monkeypatch.setattr(support, "BATCH", 7)
    parts = node_support(merges, groups)
    assert np.array_equal(whole.proportion, parts.proportion)
    assert whole.jaccard == pytest.approx(parts.jaccard, abs=1e-12)


def test_planted_classes_are_supported(structured):
    basis, classes = structured
    found, nodes = summaries(basis, 5)
    limits = Limits(2, 1, 0.5)
    for jaccard in found.jaccard:
        assert limits.failure(6, 2, jaccard, found.null.limit) == ""
    for one in range(5):
        inside = classes == one
        assert nodes.supported[(nodes.groups == inside).all(axis=1)].tolist() == [True]


@pytest.mark.parametrize("seed", range(4))
def test_nothing_is_supported_where_terms_are_permuted_within_people(structured, seed):
    # the permuted sorts are analysed like any others, with a null of their own
    basis, _ = structured
    without = permuted_basis(basis, np.random.default_rng(1000 + seed))
    found, nodes = summaries(without, 5, Streams(seed, "permuted"))
    limits = Limits(2, 1, 0.5)
    sizes = np.bincount(found.classes.labels)
    holding = [
        limits.failure(size, 2, jaccard, found.null.limit) == ""
        for size, jaccard in zip(sizes, found.jaccard, strict=True)
    ]
    assert not any(holding)
    assert not nodes.supported.any()


def test_leaving_rogues_out_lifts_the_support_of_the_groups_they_visit():
    piles, _ = planted_piles(40, 4, 5, 0.05, seed=33)
    rng = np.random.default_rng(34)
    piles[:, 0] = piles[np.arange(40), rng.integers(1, 20, size=40)]  # a term that wanders
    basis = make_basis(piles, populations_of(40))
    nodes = summarise_nodes(bootstrap_of(basis), np.arange(20) == 0, 0.5)
    visited = nodes.groups[:, 0] & (nodes.groups.sum(axis=1) > 2)
    assert visited.any()
    assert (nodes.proportion_kept[visited] >= nodes.proportion[visited]).all()
    assert nodes.proportion_kept[visited].max() > nodes.proportion[visited].max() + 0.1


def test_cut_support_of_equal_cuts_is_whole(structured):
    basis, _ = structured
    made = bootstrap_of(basis)
    reference = made.tree.cut(4).labels
    support = cut_support(np.repeat(reference[None], 3, axis=0), reference)
    assert (support.jaccard == 1.0).all()
    assert support.rand == 1.0
    assert cuts(made.redrawn.merges, [4])[4].shape == (REPLICATES, 30)


def test_null_supports_are_looked_up_by_size(structured):
    null = bootstrap_of(structured[0]).null
    collected = null_nodes(null.trees, null.merges)
    mean, limit = null_of_nodes(collected, np.array([2, 3, 9]))
    small = collected.jaccard[(collected.sizes == 2) | (collected.sizes == 3)]
    assert mean[0] == mean[1] == pytest.approx(small.mean(), abs=1e-12)
    assert limit[2] < limit[0]  # small groups come back by luck


def test_size_bands_double():
    assert size_band([2, 3, 4, 7, 8, 15, 16]).tolist() == [1, 1, 2, 2, 3, 3, 4]


def test_cophenetic_correlation_without_structure_is_lower(structured):
    basis, _ = structured
    made = bootstrap_of(basis)
    observed = cophenetic_correlation(made.tree.Z, made.distances.D)
    assert cophenetic_null(made.null.distances, "average") < observed - 0.3


def test_words_of_the_convention():
    # Hennig (2007) and the manual of R fpc: 0.5 dissolved, 0.6, 0.75, 0.85
    assert READINGS[convention(0.3)] == "dissolved"
    assert READINGS[convention(0.55)] == "not to be trusted"
    assert READINGS[convention(0.7)] == "a pattern, its members doubtful"
    assert READINGS[convention(0.8)] == "stable"
    assert READINGS[convention(0.9)] == "highly stable"
    assert READINGS[convention(float("nan"))] == ""


def test_what_is_not_about_the_same_terms_is_no_bootstrap(structured):
    made = bootstrap_of(structured[0])
    others = Distances(Terms(f"u{one:03d}" for one in range(30)), made.distances.D)
    with pytest.raises(DifferentTerms, match="the tree and the distances"):
        replace(made, distances=others)
    with pytest.raises(DifferentTerms, match="the tree and the redraws"):
        replace(made, redrawn=replace(made.redrawn, terms=others.terms))
