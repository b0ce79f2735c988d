"""The rule by which groups stand for each other, spelled out: every pairing is tried."""

from fractions import Fraction
from itertools import permutations


def best_pairings(table):
    """
    Return every best pairing of rows with columns of a small table of shared terms.

    The most shared terms come first, then the largest sum of Jaccard coefficients, in exact
    fractions. A pairing is a dict of column to row; pairs that share nothing are left out.
    """
    rows, columns = len(table), len(table[0])
    sizes = [sum(row) for row in table], [sum(column) for column in zip(*table, strict=True)]
    found = {}
    for chosen in permutations([*range(rows), *[None] * columns], columns):
        pairs = {j: i for j, i in enumerate(chosen) if i is not None and table[i][j] > 0}
        shared = sum(int(table[i][j]) for j, i in pairs.items())
        alike = sum(
            Fraction(int(table[i][j]), int(sizes[0][i] + sizes[1][j] - table[i][j]))
            for j, i in pairs.items()
        )
        found.setdefault((shared, alike), []).append(pairs)
    best = found[max(found)]
    return [pairs for number, pairs in enumerate(best) if pairs not in best[:number]]
