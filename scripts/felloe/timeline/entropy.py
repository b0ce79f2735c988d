"""How far it hangs on the edition, and on whom one asks, in which class a term stands."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

ELSEWHERE = 0  # in no class of its edition's chart; lines of classes are numbered from 1


@dataclass(frozen=True)
class ClassEntropy:
    """
    Entropy of a term's class over editions and replicates, in nats.

    Attributes
    ----------
    total : float
        Of an edition at random, and in it a replicate at random.
    replicates : float
        The mean of the editions' own: how unsure its class is in an edition.
    editions : float
        What knowing the edition tells of it (Jensen-Shannon divergence): how far it moved.
    """

    total: float
    replicates: float
    editions: float


def entropy(shares: Iterable[float]) -> float:
    """Return the entropy of shares that sum to 1, in nats; a share of 0 adds nothing."""
    return -math.fsum(share * math.log(share) for share in shares if share > 0.0) + 0.0


def class_entropy(editions: Sequence[Mapping[int, float]]) -> ClassEntropy:
    """
    Return the entropy of a term's class over some editions and their replicates.

    With `p[e, l]` the share of edition `e`'s replicates that put the term into the class of line
    `l`, and `q[l]` its mean over the editions that have the term, the total is
    `-sum(q[l] ln q[l])`. It is the mean over editions of `-sum(p[e, l] ln p[e, l])`, and the rest.

    Parameters
    ----------
    editions : sequence of mapping of int to float
        For each edition that has the term, line of class to share; what is missing to 1 fell into
        no class of the chart.

    Returns
    -------
    ClassEntropy
    """
    whole = [completed(shares) for shares in editions]
    lines = sorted({line for shares in whole for line in shares})
    mean = [math.fsum(shares.get(line, 0.0) for shares in whole) / len(whole) for line in lines]
    total = entropy(mean)
    within = math.fsum(entropy(shares.values()) for shares in whole) / len(whole)
    return ClassEntropy(total, within, max(total - within, 0.0))


def completed(shares: Mapping[int, float]) -> dict[int, float]:
    """Return shares that sum to 1: with what fell into no class, and without rounding."""
    rest = max(1.0 - math.fsum(shares.values()), 0.0)
    found = {**shares, ELSEWHERE: shares.get(ELSEWHERE, 0.0) + rest}
    total = math.fsum(found.values())
    return {line: share / total for line, share in found.items() if share > 0.0}


def by_lines(
    shares: Mapping[str, float], published: Mapping[str, str], lines: Mapping[str, int]
) -> dict[int, float]:
    """
    Return the shares of the data's own classes as shares of the lines of published classes.

    Parameters
    ----------
    shares : mapping of str to float
        Class of the data's chart to the share of replicates in which the term falls there.
    published : mapping of str to str
        Each of these classes to the published class that holds most of its terms.
    lines : mapping of str to int
        Of the published classes.
    """
    found: dict[int, float] = {}
    for name, share in sorted(shares.items()):
        line = lines[published[name]]
        found[line] = found.get(line, 0.0) + share
    return found
