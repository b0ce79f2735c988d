"""What is asked of the invented people of one run, and what is kept of it."""

from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
from calibration.cases import Invented, invent, invented_sorts
from calibration.judging import agreed_margins, defaults, judged, settings_of, true_correlation
from calibration.makes import HELD_OUT, MAKES
from calibration.partial_cells import CHANCE, DOSSIER, EDITIONS, SCREENING, Cell, designed
from felloe.clustering.choice import Limits, considered
from felloe.clustering.choice import judged as judged_cuts
from felloe.clustering.replicates.bootstrap import Bootstrap, Plan, draw_part, gathered
from felloe.clustering.replicates.consensus import find_homes
from felloe.clustering.replicates.null import collect_null
from felloe.clustering.replicates.redraws import make_basis, permute_terms, redraw_trees
from felloe.clustering.replicates.replicate_trees import cuts
from felloe.clustering.replicates.support import cut_support
from felloe.editions.correspondence import (
    Bounds,
    against_chance,
    believed,
    grade_migration,
    match_classes,
)
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.contingency import changed_terms
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.groups.tree import tree_of
from felloe.ground.people.canonical_order import canonical_piles
from felloe.ground.people.halves import split_half_reliability
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.randomness import Streams
from felloe.ground.squares import condensed, squared
from felloe.ground.terms import Terms
from felloe.matrices.distances import chart_dissimilarity
from felloe.validation.screened.screening import EXCLUDED, screened
from felloe.validation.screened.task import Received
from felloe.validation.settings import ScreeningRules
from partial_example import as_shown, lumpers_and_splitters

SEED, METHOD = 12, "average"
HALVES, REDRAWS, PERMUTATIONS = 50, 60, 199
CLASSES = 5  # of the people whose truth is known, each of two subclasses
CHARTED = 6  # classes that two editions publish: as many as the make `places` has
PLAN = Plan(replicates=100, null_sets=20, null_replicates=50, multiscale=0)
NULL_SETS = 40  # behind the line that a cut has to lie below
LARGE = 100  # people of either population, whole sorts: behind the true correlation


def people_of(
    cell: Cell, rng: np.random.Generator, random: bool = False
) -> tuple[Array, Bools, Bools, Invented]:
    """Return what people were seen to sort, who is of the first population, designs, makers."""
    invented = invent((MAKES | HELD_OUT)[cell.source], cell.case, rng)
    piles, first = invented.people(rng, cell.case.people)
    if random:
        piles = permute_terms(piles, rng)
    shown = np.vstack(
        [designed(cell, rng, number, side) for side, number in enumerate(cell.case.people)]
    )
    return as_shown(piles, shown), first, shown, invented


def reliability_beside_truth(cell: Cell, run: int, piles: Array, invented: Invented) -> dict:
    """Return the reliability that halves tell, and how a second study of such people correlates."""
    rng = Streams(SEED, f"{cell.source} {cell.name}").generator("second study", run)
    number = cell.case.people[0]
    again, _ = invented.people(rng, (number, 0))
    again = as_shown(again, designed(cell, rng, number, 0))
    first = pair_vectors(piles[:number], cell.prior)
    told = split_half_reliability(first, HALVES, rng).reliability
    rows = [
        condensed(chart_dissimilarity(one, ["a"] * number, "pooled", "plain", cell.prior))
        for one in (piles[:number], again)
    ]
    return {"told": told, "true": float(np.corrcoef(*rows)[0, 1])}


def truth_of(cell: Cell, run: int, invented: Invented) -> float:
    """Return the corrected correlation of the two populations: of many whole sorts of them."""
    if cell.case.alike:
        return 1.0
    rng = Streams(SEED, f"{cell.source} {cell.name}").generator("truth", run)
    return true_correlation(*invented.people(rng, (LARGE, LARGE)))


def charted(
    piles: Array, prior: float | None, number: int, streams: Streams
) -> tuple[Ints, Floats]:
    """Return the class of every term in the chart of some people, and its home probability."""
    basis = make_basis(piles, ["a"] * len(piles), prior=prior)
    labels = cut(build_tree(squared(basis.observed, basis.n_terms), METHOD), number)
    merges = redraw_trees(basis, METHOD, streams, range(REDRAWS))
    return labels, find_homes(cuts(merges, [number])[number], labels).home_probability


def homes(cell: Cell, run: int) -> dict[str, Any]:
    """Return home probabilities, and whether each term stands in its true class, of known truth."""
    rng = Streams(SEED, f"{cell.name}").generator("homes", run)
    number, terms = sum(cell.case.people), cell.case.terms
    piles, truth, _ = lumpers_and_splitters(rng, number, terms, CLASSES, 2, 0.5)
    piles = as_shown(piles, designed(cell, rng, number, 0))
    found, home = charted(piles, cell.prior, CLASSES, Streams(SEED, f"homes {run}"))
    return {"home": home.round(3).tolist(), "right": (~changed_terms(truth, found)).tolist()}


def dossier(cell: Cell, run: int, rng: np.random.Generator) -> dict[str, Any]:
    """Return what the dossier says of two populations, beside what is true of them."""
    piles, first, _, invented = people_of(cell, rng)
    sorts = replace(invented_sorts(piles, first), prior=cell.prior)
    streams = Streams(SEED + 1 + run, f"partial {cell.source} {cell.name}")
    found = judged(sorts, settings_of(cell.case.terms), agreed_margins(), streams)
    plain = cell.case.name == "equality" and cell.source == "places" and not cell.by_population
    return {
        **found,
        "moved": invented.moved.tolist(),
        "truth": truth_of(cell, run, invented),
        "halves": reliability_beside_truth(cell, run, piles, invented),
        **(homes(cell, run) if plain else {}),
    }


def editions(cell: Cell, run: int, rng: np.random.Generator) -> dict[str, Any]:
    """Return how two editions, of the first and the second population, grade every term's move."""
    piles, first, _, invented = people_of(cell, rng)
    streams = [Streams(SEED + 1 + run, f"{cell.source} {cell.name} {side}") for side in "ab"]
    charts = [
        charted(piles[group], cell.prior, CHARTED, drawn)
        for group, drawn in zip((first, ~first), streams, strict=True)
    ]
    (older, was), (newer, now) = charts
    names = [f"c{one}" for one in older], [f"c{one}" for one in newer]
    bounds = Bounds(**defaults()["migration"])
    chance = against_chance(*names, streams[0].generator("classes"), PERMUTATIONS)
    found = believed(match_classes(*names), chance, bounds.correspondence)
    grades = [
        grade_migration(found.relation(a, b), float(p), float(q), bounds)
        for a, b, p, q in zip(*names, was, now, strict=True)
    ]
    return {"grades": grades, "moved": invented.moved.tolist()}


def screening(cell: Cell, run: int, rng: np.random.Generator) -> dict[str, Any]:
    """Return how many honest people were shown so many terms, and lost to which rule."""
    piles, first, shown, _ = people_of(cell, rng)
    positions = np.zeros(piles.shape, dtype=np.int32)
    for row, seen in zip(positions, shown, strict=True):
        row[seen] = rng.permutation(int(seen.sum())) + 1
    sorts = replace(invented_sorts(canonical_piles(piles), first), prior=cell.prior)
    received = Received(sorts, np.full(len(piles), np.nan), positions, shown)
    people = screened(received, list(sorts.terms), ScreeningRules.of(defaults()["screening"]))
    honest = Counter(shown.sum(axis=1).tolist())
    lost: Counter[tuple[int, str]] = Counter()
    for person, number in zip(people, shown.sum(axis=1).tolist(), strict=True):
        if person["status"] == EXCLUDED:
            lost[number, "; ".join(person["rules"])] += 1
    return {"honest": sorted(honest.items()), "lost": sorted((*k, n) for k, n in lost.items())}


def chance(cell: Cell, run: int, rng: np.random.Generator) -> dict[str, Any]:
    """Return what is called beyond chance of people who sort at random."""
    piles, first, *_ = people_of(cell, rng, random=True)
    drawn = Streams(SEED + 1 + run, f"{cell.source} {cell.name}")
    terms = Terms(f"term{one:02d}" for one in range(cell.case.terms))
    basis = make_basis(piles, np.where(first, "a", "b"), prior=cell.prior)
    distances = Distances(terms, squared(basis.observed, len(terms)))
    redrawn = gathered([draw_part(terms, basis, METHOD, drawn, PLAN, "1-of-1")])
    null = collect_null(basis, METHOD, drawn, NULL_SETS, redrawn.null_merges)
    found = Bootstrap(tree_of(distances, METHOD), distances, METHOD, redrawn, null)
    span = considered("auto", defaults()["tiers"]["classes_range"], 2, len(terms) // 2)
    line = float(distances.pairs.mean())
    rows = judged_cuts(found, span, line, minimum_size=2)
    return {
        "below_null": {row["n_classes"]: row["below_null"] for row in rows},
        "line": float(
            distances.pairs.mean() - np.mean([condensed(D).mean() for D in null.distances])
        ),
        "holds": {row["n_classes"]: classes_that_hold(found, row) for row in rows},
    }


def classes_that_hold(found: Bootstrap, row: dict[str, Any]) -> int:
    """Return how many classes of a cut are supported as the tree's step asks, beyond chance."""
    number, tiers = row["n_classes"], defaults()["tiers"]
    least, line = tiers["minimum_class_size"], row["null_largest_jaccard"]
    limits = Limits(least, 1, tiers["minimum_support"])
    labels = cut(found.tree.Z, number)
    support = cut_support(cuts(found.redrawn.merges, [number])[number], labels).jaccard
    sizes = np.bincount(labels).tolist()
    failures = [limits.failure(n, least, s, line) for n, s in zip(sizes, support, strict=True)]
    return failures.count("")


KINDS = {DOSSIER: dossier, EDITIONS: editions, SCREENING: screening, CHANCE: chance}


def simulate(task: tuple[Cell, int, str]) -> dict[str, Any]:
    """Return what is kept of one run of one cell."""
    cell, run, code = task
    rng = Streams(SEED, f"{cell.source}\n{cell.name}").generator("people", run)
    found = KINDS[cell.kind](cell, run, rng)
    return {"source": cell.source, "cell": cell.name, "run": run, "code": code, **found}
