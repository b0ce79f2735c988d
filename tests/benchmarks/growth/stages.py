"""The stages of a study, each on one invented study, with few draws of everything."""

from collections.abc import Callable
from dataclasses import dataclass, fields
from pathlib import Path

import numpy as np
import yaml
from benchmarks.side_by_side.of_trees import basis_of
from felloe.circle.map.disparities import ORDINAL, Model
from felloe.circle.map.map_evidence import starting_maps
from felloe.circle.map.scaling import scale
from felloe.circle.ring.adjacency import Redraws, adjacency
from felloe.clustering.choice import Limits, choose_tiers
from felloe.clustering.replicates.bootstrap import Bootstrap, Plan, draw_part, gathered
from felloe.clustering.replicates.consensus import RogueRule
from felloe.clustering.replicates.null import collect_null
from felloe.clustering.replicates.redraws import redraw_trees
from felloe.clustering.replicates.summary import summarise_classes, summarise_nodes
from felloe.clustering.ties import audit_ties, input_orders
from felloe.comparison.dossier import compare_populations
from felloe.comparison.pair import Settings
from felloe.comparison.verdict import Margins
from felloe.ground.groups.ranges import GroupNumbers
from felloe.ground.groups.tree import tree_of
from felloe.ground.people.counts import counts_of
from felloe.matrices.counts import counts_by_population
from felloe.sensitivity.universes import around, explore
from felloe.sensitivity.weighting import weighted_distances
from felloe.validation.screened.screening import screened
from felloe.validation.screened.task import Received
from felloe.validation.settings import ScreeningRules, StabilitySettings
from felloe.validation.stability.reliability import Cuts, repeated_on_parts

LINKAGES = ("average", "complete", "weighted", "ward")
METHOD = "average"
CONFIG = Path(__file__).resolve().parents[3] / "config" / "config.yaml"


@dataclass(frozen=True)
class Stage:
    """
    A stage that is measured.

    Attributes
    ----------
    name : str
    draws : str
        How few of everything are drawn.
    prepared : callable
        From a study to what is timed: a function without arguments.
    of_people : bool
        Whether its cost hangs on the number of people.
    """

    name: str
    draws: str
    prepared: Callable[..., Callable[[], object]]
    of_people: bool = True


def config():
    """Return the settings as they come."""
    return yaml.safe_load(CONFIG.read_text(encoding="utf-8"))


def few_of(kind, block, **few):
    """Return the settings of a stage: its block, with few draws."""
    given = {field.name for field in fields(kind)} & set(block)
    return kind(**{name: block[name] for name in given} | few)


def counting(study):
    """Count who put what together."""
    return lambda: counts_of(study.sorts)


def screening(study):
    """Describe everybody and apply the rules."""
    shape = study.sorts.piles.shape
    minutes, positions = np.full(shape[0], np.nan), np.zeros(shape, dtype=np.int32)
    received = Received(study.sorts, minutes, positions, study.shown if study.partial else None)
    labels, rules = list(study.sorts.terms), ScreeningRules.of(config()["screening"])
    return lambda: screened(received, labels, rules)


def reliability(study):
    """Halves of the people and growing samples."""
    few = {"halves": 4, "curve_repeats": 2, "curve_steps": 3}
    settings = few_of(StabilitySettings, config()["stability"], **few)
    cuts = Cuts(METHOD, study.classes, study.subclasses)
    return lambda: repeated_on_parts(study.sorts, cuts, settings, study.streams)


def dossier(study):
    """Everything about the two populations."""
    block = config()["comparison"]
    few = {"permutations": 99, "shape_permutations": 19, "splits": 2, "halves": 2}
    numbers = study.classes, study.subclasses
    settings = few_of(Settings, block, **few, numbers=numbers)
    counts, margins = counts_by_population(study.sorts), Margins(**block["margins"])
    return lambda: compare_populations(study.sorts, counts, settings, margins, study.streams)


def replicates(study):
    """Trees of redrawn people."""

    def work():
        return redraw_trees(basis_of(study), METHOD, study.streams, range(10))

    return work


def bootstrap_of(study):
    """Return a bootstrap of few replicates, for what follows from one."""
    basis, plan = basis_of(study), Plan(10, 2, 5, 0)
    part = draw_part(study.sorts.terms, basis, METHOD, study.streams, plan, "1-of-1")
    redrawn = gathered([part])
    null = collect_null(basis, METHOD, study.streams, 2, redrawn.null_merges)
    tree = tree_of(study.distances, METHOD)
    return Bootstrap(tree, study.distances, METHOD, redrawn, null)


def gathering(study):
    """What the trees of redrawn people say of nodes and of classes."""
    found = bootstrap_of(study)
    choice = choose_tiers(found, Limits(2, 1, 0.5), numbers_asked(study))

    def work():
        number = choice.classes.number
        classes = summarise_classes(found, number, choice.null_of_classes(), RogueRule(0.6, 0.1))
        return summarise_nodes(found, classes.rogues, 0.5)

    return work


def numbers_asked(study):
    """Return that numbers of groups are chosen in the ranges of the settings."""
    return few_of(GroupNumbers, config()["tiers"])


def class_counts(study):
    """The indices of every number of groups, and the choice."""
    found = bootstrap_of(study)
    return lambda: choose_tiers(found, Limits(2, 1, 0.5), numbers_asked(study))


def ties(study):
    """Other orders of the terms."""
    orders = input_orders(study.n_terms, study.streams, 5)
    numbers = study.classes, study.subclasses
    return lambda: audit_ties(study.distances, METHOD, orders, *numbers)


def grid(study):
    """One way of weighing, all linkages and numbers."""
    numbers, published = around(study.classes, 1, study.n_terms), study.published

    def work():
        apart = weighted_distances(study.sorts, "information")
        return explore(apart, published, LINKAGES, numbers)

    return work


def ring(study):
    """Neighbours on the circles of redrawn people."""
    basis, published, around_it = basis_of(study), study.published, list(study.sorts.terms)
    redraws = Redraws(basis, METHOD, study.streams, 2)
    return lambda: adjacency(redraws, published, around_it)


def terms_map(study):
    """Two starts of an ordinal map."""
    begun = starting_maps(study.distances.D, 2, np.random.default_rng(1))
    return lambda: scale(study.distances.pairs, begun, Model(ORDINAL), 10)


STAGES = (
    Stage("counting", "once", counting),
    Stage("screening", "once", screening),
    Stage("reliability", "4 halves, 3 sizes of 2 pairs of samples", reliability),
    Stage("dossier", "99 permutations (19 of single terms), 2 divisions and halves", dossier),
    Stage("replicates", "10", replicates),
    Stage("gathering", "10 replicates, 2 x 5 without structure", gathering, of_people=False),
    Stage("class counts", "10 replicates, 2 x 5 without structure", class_counts, of_people=False),
    Stage("ties", "5 orders", ties, of_people=False),
    Stage("sensitivity grid", "1 of 4 weights, 4 linkages, 3 numbers", grid),
    Stage("ring", "2 replicates", ring),
    Stage("map", "2 starts of 10 rounds", terms_map, of_people=False),
)
