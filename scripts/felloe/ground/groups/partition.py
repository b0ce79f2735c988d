"""A division of terms into groups that knows its terms, and names groups by them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from felloe.ground.arrays import Array, Bools, Ints
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.contingency import changed_terms
from felloe.ground.terms import Terms, check_same


@dataclass(frozen=True)
class Partition:
    """
    Some terms divided into groups.

    Attributes
    ----------
    terms : Terms
    labels : (n_terms,) array of int
        The group of every term: 0 to K - 1, numbered in the order of first appearance.

    Raises
    ------
    ValueError
        If labels and terms are not of one length.
    """

    terms: Terms
    labels: Ints

    def __post_init__(self) -> None:
        """Check the size and number the groups by first appearance."""
        object.__setattr__(self, "terms", Terms(self.terms))
        if np.shape(self.labels) != (len(self.terms),):
            raise ValueError(
                f"{len(self.terms)} terms do not fit labels of {np.shape(self.labels)}"
            )
        object.__setattr__(self, "labels", number_by_appearance(self.labels))

    @classmethod
    def of_ids(cls, terms: Iterable[str], groups: Sequence[str]) -> "Partition":
        """Take the group of every term by whatever id the groups have."""
        return cls(Terms(terms), np.asarray(groups))

    @classmethod
    def of_rows(cls, rows: Sequence[Mapping[str, Any]], column: str) -> "Partition":
        """Take the groups that a column of a table with a row per term gives."""
        return cls.of_ids([row["term"] for row in rows], [row[column] for row in rows])

    @property
    def n_groups(self) -> int:
        """The number of groups."""
        return int(self.labels.max()) + 1 if len(self.terms) else 0

    @property
    def ids(self) -> tuple[str, ...]:
        """The id of every group: its alphabetically first term."""
        return tuple(min(self.members(group)) for group in range(self.n_groups))

    @property
    def of_terms(self) -> tuple[str, ...]:
        """The id of the group of every term."""
        ids = self.ids
        return tuple(ids[label] for label in self.labels.tolist())

    def members(self, group: int) -> tuple[str, ...]:
        """Return the terms of a group, in the order of the terms."""
        return tuple(self.terms[place] for place in np.flatnonzero(self.labels == group))

    def on(self, terms: Iterable[str]) -> "Partition":
        """Return the division of some of the terms, in the order given."""
        wanted = Terms(terms)
        return Partition(wanted, self.labels[self.terms.places(wanted)])

    def adjusted_rand(self, other: "Partition") -> float:
        """Return the adjusted Rand index with another division of the same terms."""
        check_same(self.terms, other.terms, "one division", "the other")
        return adjusted_rand(self.labels, other.labels)

    def changed(self, other: "Partition") -> Bools:
        """Return the terms that are not in the other's group that stands for their own."""
        check_same(self.terms, other.terms, "one division", "the other")
        return changed_terms(self.labels, other.labels)


def number_by_appearance(labels: Array) -> Ints:
    """
    Renumber group labels 0, 1, 2 ... in the order in which they first appear.

    Parameters
    ----------
    labels : (N,) array

    Returns
    -------
    (N,) array of int
    """
    _, first, inverse = np.unique(labels, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=int)
    rank[np.argsort(first, kind="stable")] = np.arange(len(first))
    numbered: Ints = rank[inverse]
    return numbered
