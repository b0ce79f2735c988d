"""The shortest circle that a tree allows, and how often classes are neighbours on it."""

import numpy as np
from benchmarks.side_by_side import plain
from benchmarks.side_by_side.kernel import OURS, Kernel, Side
from benchmarks.side_by_side.of_counts import repeated
from benchmarks.side_by_side.of_trees import basis_of, counting_again, linkage_work, redrawn_people
from felloe.circle.ring.adjacency import Redraws, adjacency
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage

TEXTBOOK = "Python, the textbook programme"


def hung(merges, n_terms):
    """Return the tree of some merges as pairs of pairs, hung from term 0 and without it."""
    beside = {node: [] for node in range(2 * n_terms - 1)}
    for number, (left, right) in enumerate(merges[:, :2].astype(int).tolist()):
        for below in (left, right):
            beside[below].append(n_terms + number)
            beside[n_terms + number].append(below)

    def below(node, above):
        parts = [below(other, node) for other in beside[node] if other != above]
        return node if not parts else parts[0] if len(parts) == 1 else tuple(parts)

    return below(beside[0][0], 0)


def leaves(tree):
    """Return how many terms a tree of pairs holds."""
    return 1 if isinstance(tree, int) else sum(leaves(part) for part in tree)


def paths(tree, cost):
    """Return the cheapest path through a tree between every two ends; of equal ones the first."""
    if isinstance(tree, int):
        return {tree: {tree: (0, (tree,))}}
    one, other = (paths(part, cost) for part in tree)
    found = {}
    for before, after in ((one, other), (other, one)):
        for start, ends in before.items():
            entered = {
                place: min(
                    (spent + cost[end][place], order) for end, (spent, order) in ends.items()
                )
                for place in after
            }
            row = {}
            for place, (spent, order) in entered.items():
                for end, (more, following) in after[place].items():
                    path = spent + more, order + following
                    if end not in row or path < row[end]:
                        row[end] = path
            found[start] = row
    return found


def shortest_circle(merges, whole):
    """Return the shortest circle, read from term 0; of equal ones the first."""
    cost = whole.tolist()
    through = paths(hung(merges, len(cost)), cost)
    return min(
        (cost[0][start] + spent + cost[end][0], (0, *order))
        for start, ends in through.items()
        for end, (spent, order) in ends.items()
    )[1]


def programme_work(tree):
    """Return the numbers that the programme goes through: two products at every group of two."""
    if isinstance(tree, int):
        return 0.0
    (one, other), total = tree, sum(programme_work(part) for part in tree)
    for part, beside in ((one, other), (other, one)):
        through = 1 if isinstance(part, int) else 2 * leaves(part[0]) * leaves(part[1])
        total += 2.0 * leaves(beside) * through  # a sum and a comparison
    return total


def whole_numbers(study, apart):
    """Return distances as whole numbers, so that sums that tie are equal: people, or 1e-9."""
    return np.rint(apart * (1e9 if study.partial else study.n_people)).astype(int)


def circle(study):
    """The shortest circle that a tree allows."""
    apart = study.distances.D
    merges = plain.tree(apart)
    whole = whole_numbers(study, apart)
    tree = from_linkage(merges)
    return Kernel(
        name="circular order",
        size=f"{study.n_terms:,} terms",
        unit="circle",
        sides={
            OURS: Side(repeated(lambda: circular_order(tree, apart, count=False).order), 20),
            TEXTBOOK: Side(repeated(lambda: np.array(shortest_circle(merges, whole))), 1),
        },
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=0.0,
        checked=1,
        floor=[{"passes": programme_work(hung(merges, study.n_terms))}],
        counted="the sums and comparisons of the programme, counted on this tree",
    )


def sequence(order, labels):
    """Return the classes around a circle; a class stands where its longest run begins."""
    n_terms, runs = len(order), {}
    ring = [int(labels[term]) for term in order]
    for start in range(n_terms):
        if ring[start] != ring[start - 1]:
            size = 1
            while ring[(start + size) % n_terms] == ring[start]:
                size += 1
            if size > runs.get(ring[start], (0, 0))[0]:
                runs[ring[start]] = size, start
    return sorted(runs, key=lambda label: runs[label][1])


def neighbours_in_a_loop(study, basis, replicates):
    """Return how often two classes are neighbours on the circles of redrawn people."""
    labels, number = study.published.labels, study.published.n_groups
    found = np.zeros((number, number))
    for people, order in redrawn_people(study, basis, replicates):
        apart = plain.distances(study.sorts.piles, people, study.sorts.prior)
        merges = plain.tree(apart[np.ix_(order, order)])
        names = np.concatenate([order, np.arange(study.n_terms, 2 * study.n_terms - 1)])
        merges[:, :2] = names[merges[:, :2].astype(int)]
        around = shortest_circle(merges, whole_numbers(study, apart))
        classes = sequence(around, labels)
        for pair in {frozenset(pair) for pair in zip(classes, classes[1:] + classes[:1])}:
            one, other = tuple(pair)
            found[one, other] += 1
            found[other, one] += 1
    return found / replicates


def ring(study):
    """Redraw people, order the circle anew, count which classes are neighbours."""
    basis = basis_of(study)
    around = list(study.sorts.terms)

    def ours(replicates):
        redraws = Redraws(basis, "average", study.streams, replicates)
        return adjacency(redraws, study.published, around).shares

    whole = programme_work(hung(plain.tree(study.distances.D), study.n_terms))
    after = {"passes": linkage_work(study.n_terms)["passes"] + whole}
    counted, words = counting_again(study)
    return Kernel(
        name="neighbours on the ring",
        size=study.size,
        unit="replicate",
        sides={
            OURS: Side(ours, 20),
            TEXTBOOK: Side(lambda n: neighbours_in_a_loop(study, basis, n), 1),
        },
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=0.0,
        checked=2,
        floor=[one | after for one in counted],
        counted=f"{words}; a linkage, the programme of the circular order",
    )
