"""Trees: one of them, those of redrawn people, what redraws say of groups, and ties."""

import numpy as np
from benchmarks.side_by_side import in_r, plain
from benchmarks.side_by_side.kernel import OURS, Kernel, Side
from benchmarks.side_by_side.of_counts import repeated
from felloe.clustering.replicates.consensus import coclassification
from felloe.clustering.replicates.redraws import draw, make_basis, redraw_trees
from felloe.clustering.replicates.replicate_trees import cuts
from felloe.clustering.replicates.support import node_support
from felloe.clustering.ties import audit_ties, input_orders
from felloe.ground.groups.linkage import build_tree, members

SCIPY = "SciPy"
LOOP = "SciPy, one after another"
TEXTBOOK = "NumPy, nearest two of a square"
ROUNDED = 1e-9
TIED = 0.1  # share of the checked redraws


def linkage_work(n_terms):
    """Return the least work of nearest-neighbour chains: rows are searched and updated once."""
    return {"passes": float(n_terms) ** 2}


def nearest_two(apart):
    """Return merge heights by average linkage: find the nearest two, merge, again."""
    apart = apart.copy()
    np.fill_diagonal(apart, np.inf)
    sizes, heights = np.ones(len(apart)), []
    for _ in range(len(apart) - 1):
        one, other = np.unravel_index(np.argmin(apart), apart.shape)
        heights.append(apart[one, other])
        row = (sizes[one] * apart[one] + sizes[other] * apart[other]) / (sizes[one] + sizes[other])
        sizes[one] += sizes[other]
        apart[one] = apart[:, one] = row
        apart[one, one] = np.inf
        apart[other] = apart[:, other] = np.inf
    return np.sort(heights)


def linkage(study):
    """One average-linkage tree of distances that do not tie."""
    rng = np.random.default_rng(1)
    jitter = np.triu(rng.random((study.n_terms, study.n_terms)), 1) * 1e-6
    apart = study.distances.D + jitter + jitter.T
    few = 3 if study.n_terms > 100 else 20
    return Kernel(
        name="linkage",
        size=f"{study.n_terms:,} terms",
        unit="tree",
        sides={
            OURS: Side(repeated(lambda: build_tree(apart, "average")[:, 2]), 20 * few),
            SCIPY: Side(repeated(lambda: plain.tree(apart)[:, 2]), 20 * few),
            TEXTBOOK: Side(repeated(lambda: nearest_two(apart)), few),
        }
        | in_r.sides(in_r.LINKAGE, lambda trees: {"apart": apart}, few),
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=ROUNDED,
        checked=1,
        floor=[linkage_work(study.n_terms)],
        counted="terms x terms numbers gone through: half of them searched, half of them updated",
    )


def redrawn_people(study, basis, replicates):
    """Return the people and the order of the terms of every redraw, as ours draws them."""
    drawn = [draw(basis, study.streams, number) for number in range(replicates)]
    return [(np.repeat(np.arange(study.n_people), often), order) for often, order in drawn]


def consensus_in_a_loop(study, basis, replicates):
    """Return the share of redraws in which two terms fall into one class."""
    piles, prior, n_terms = study.sorts.piles, study.sorts.prior, study.n_terms
    consensus = np.zeros((n_terms, n_terms))
    for people, order in redrawn_people(study, basis, replicates):
        apart = plain.distances(piles, people, prior)[np.ix_(order, order)]
        labels = np.empty(n_terms, dtype=int)
        labels[order] = plain.groups(plain.tree(apart), study.classes)
        consensus += labels[:, None] == labels[None, :]
    return consensus / replicates


def consensus_by_broadcasting(study, basis, replicates):
    """Do the same for whole sorts with the counting of a redraw in one comparison."""
    piles, n_terms = study.sorts.piles, study.n_terms
    consensus = np.zeros((n_terms, n_terms))
    for people, order in redrawn_people(study, basis, replicates):
        own = piles[people][:, order]
        together = (own[:, :, None] == own[:, None, :]).sum(axis=0)
        apart = np.round(1.0 - together / len(people), 12)
        labels = np.empty(n_terms, dtype=int)
        labels[order] = plain.groups(plain.tree(apart), study.classes)
        consensus += labels[:, None] == labels[None, :]
    return consensus / replicates


def basis_of(study):
    """Return the people as they are redrawn."""
    return make_basis(study.sorts.piles, study.sorts.populations, prior=study.sorts.prior)


def told_to_r(study, basis, replicates):
    """Return what the same loop reads in R, which counts from one."""
    people, orders = zip(*redrawn_people(study, basis, replicates))
    return {
        "piles": study.sorts.piles,
        "people": np.array(people) + 1,
        "orders": np.array(orders) + 1,
        "classes": np.array([[study.classes]]),
    }


def counting_again(study):
    """Return the least work of counting one redraw, in each way, and how it is told."""
    dense = float(study.n_people * study.n_pairs)
    if not study.partial:
        words = "people x pairs products, six pairs in one double"
        return [{"products in double precision": dense / 6}], words
    return [
        {"products in single precision": 2.0 * dense},
        {"scatters": 2.0 * study.placed_pairs},
    ], "placed pairs added to two matrices, or two dense products"


def bootstrap(study):
    """Redraw people, count, build and cut the tree, count who is together."""
    basis = basis_of(study)

    def ours(replicates):
        merges = redraw_trees(basis, "average", study.streams, range(replicates))
        labels = cuts(merges, [study.classes])[study.classes]
        return coclassification(labels) / replicates

    sides = {
        OURS: Side(ours, 30 if study.partial else 500),
        LOOP: Side(lambda n: consensus_in_a_loop(study, basis, n), 1 if study.partial else 30),
    }
    if not study.partial:
        sides["SciPy, counted by broadcasting"] = Side(
            lambda n: consensus_by_broadcasting(study, basis, n), 30
        )
        # R merges others of several nearest two, so that a few replicates put a term elsewhere
        sides |= in_r.sides(in_r.BOOTSTRAP, lambda n: told_to_r(study, basis, n), 10, TIED)
    n_terms = study.n_terms
    after = {"gathers": float(study.n_pairs), "draws": float(study.n_people + n_terms)}
    after |= linkage_work(n_terms)
    after["passes"] += n_terms**2 / study.classes
    counted, words = counting_again(study)
    return Kernel(
        name="bootstrap",
        size=study.size,
        unit="replicate",
        sides=sides,
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=0.0,
        checked=3 if study.partial else 50,
        floor=[one | after for one in counted],
        counted=f"{words}; every distance looked up once; a linkage; the pairs of the classes",
    )


def supports_in_a_loop(trees, reference):
    """Return how often groups come back whole, and the mean of their best Jaccard coefficients."""
    groups = [frozenset(np.flatnonzero(row).tolist()) for row in reference]
    whole, similar = np.zeros(len(groups)), np.zeros(len(groups))
    for one in trees:
        found = plain.clades(one)[:-1]
        for place, group in enumerate(groups):
            best = max(len(group & clade) / len(group | clade) for clade in found)
            whole[place] += best == 1.0
            similar[place] += best
    return whole / len(trees), similar / len(trees)


def supports(study):
    """How well the groups of the tree are found again in trees of redrawn people."""
    basis, timed = basis_of(study), 20 if study.partial else 200
    merges = redraw_trees(basis, "average", study.streams, range(timed))
    reference = members(build_tree(study.distances.D, "average"))[:-1]

    def ours(trees):
        found = node_support(merges[:trees], reference)
        return found.proportion, found.jaccard

    cells = float(study.n_terms - 2) ** 2
    return Kernel(
        name="supports of nodes",
        size=f"{study.n_terms:,} terms",
        unit="tree",
        sides={
            OURS: Side(ours, timed),
            "Python sets": Side(lambda trees: supports_in_a_loop(merges[:trees], reference), 2),
        },
        apart=lambda one, other: float(np.abs(np.subtract(one, other)).max()),
        tolerance=ROUNDED,
        checked=2,
        floor=[{"passes": 2.0 * cells}],
        counted="shared terms of every node with every other: one sum and one comparison each",
    )


def ties_in_a_loop(study, orders):
    """Return how often each group comes back, and how many different trees there are."""
    apart = study.distances.D
    own = plain.clades(plain.tree(apart))
    found, heights, mergings = np.zeros(len(own)), set(), set()
    for order in orders:
        merges = plain.tree(apart[np.ix_(order, order)])
        sets = [frozenset(order[list(clade)].tolist()) for clade in plain.clades(merges)]
        found += [clade in set(sets) for clade in own]
        mergings.add(frozenset(sets))
        joined = np.zeros((study.n_terms, study.n_terms))
        for clade, height in zip(reversed(sets), merges[::-1, 2], strict=True):
            joined[np.ix_(list(clade), list(clade))] = np.round(height, 9)
        np.fill_diagonal(joined, 0.0)
        heights.add(joined.tobytes())
    return np.append(found / len(orders), [len(heights), len(mergings)])


def ties(study):
    """The same distances read in other orders of the terms."""
    number = 10 if study.n_terms > 100 else 50
    orders = input_orders(study.n_terms, study.streams, number)

    def ours(tried):
        found = audit_ties(
            study.distances, "average", orders[:tried], study.classes, study.subclasses
        )
        return np.append(found.node_share, [found.distinct_trees, found.distinct_mergings])

    square = float(study.n_terms) ** 2
    return Kernel(
        name="ties",
        size=f"{study.n_terms:,} terms",
        unit="reading",
        sides={
            OURS: Side(ours, number),
            LOOP: Side(lambda tried: ties_in_a_loop(study, orders[:tried]), max(2, number // 10)),
        },
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=ROUNDED,
        checked=min(10, number),
        floor=[{"gathers": square / 2, "passes": square + square / 2}],
        counted="every distance looked up once; a linkage; a height for every pair",
    )
