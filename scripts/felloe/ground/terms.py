"""The terms of a study: ids that travel with every number that is about them."""

from collections.abc import Iterable
from typing import Self


class DifferentTerms(ValueError):
    """Two things that are about other terms, or about the same in another order, were combined."""


class Terms(tuple[str, ...]):
    """
    The ids of some terms, each once, in the order of the rows of an array.

    A tuple, so that it can be indexed, iterated and compared like one.

    Raises
    ------
    ValueError
        If an id is empty or stands twice.
    """

    __slots__ = ()

    def __new__(cls, ids: Iterable[str]) -> Self:
        """Take the ids in the order given."""
        terms = super().__new__(cls, map(str, ids))
        if len(set(terms)) < len(terms):
            twice = next(one for place, one in enumerate(terms) if one in terms[:place])
            raise ValueError(f"the term {twice!r} stands twice")
        if "" in terms:
            raise ValueError("a term has no id")
        return terms

    def places(self, ids: Iterable[str]) -> list[int]:
        """
        Return where some terms stand.

        Raises
        ------
        DifferentTerms
            If one of them is not among these terms.
        """
        place = {term: number for number, term in enumerate(self)}
        wanted = list(ids)
        unknown = [term for term in wanted if term not in place]
        if unknown:
            raise DifferentTerms(f"{listed(unknown)} is not among these {len(self)} terms")
        return [place[term] for term in wanted]


def check_same(one: Terms, other: Terms, of_one: str, of_other: str) -> None:
    """
    Refuse to combine two things that are not about the same terms in the same order.

    Parameters
    ----------
    one, other : Terms
    of_one, of_other : str
        What they belong to, in words: "the distances", "the tree".

    Raises
    ------
    DifferentTerms
        Naming the terms that only one of them has, or the first place where orders differ.
    """
    if one == other:
        return
    only = [
        f"only {name} has {listed(sorted(lone))}"
        for name, lone in ((of_one, set(one) - set(other)), (of_other, set(other) - set(one)))
        if lone
    ]
    if not only:
        place = next(number for number, pair in enumerate(zip(one, other)) if pair[0] != pair[1])
        only = [
            f"place {place} holds {one[place]!r} in {of_one} and {other[place]!r} in {of_other}"
        ]
    raise DifferentTerms(f"{of_one} and {of_other} are not about the same terms: {'; '.join(only)}")


def listed(ids: list[str], shown: int = 5) -> str:
    """Return a few ids in words, and how many more there are."""
    more = len(ids) - shown
    return ", ".join(map(repr, ids[:shown])) + (f" and {more} more" if more > 0 else "")
