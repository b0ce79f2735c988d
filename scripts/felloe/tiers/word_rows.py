"""Words for piles and published groups, from the rows of their tables."""

from collections.abc import Iterable

from felloe.ground.files.tables import Row
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.tiers.publishing import TIERS
from felloe.tiers.word_counts import NamedPile


def named_piles(analysed: Sorts, words: Iterable[Row]) -> list[NamedPile]:
    """
    Return the piles of analysed people for which they had words.

    Parameters
    ----------
    analysed : Sorts
    words : iterable of dict
        Rows of `validation/pile_words.csv`; those of people who are not analysed count nowhere.
    """
    places = {person: place for place, person in enumerate(analysed.participants)}
    found = []
    for row in words:
        if row["participant"] not in places:
            continue
        piles = analysed.piles[places[row["participant"]]].tolist()
        cells = list(zip(analysed.terms, piles, strict=True))
        found.append(
            NamedPile(
                row["participant"],
                frozenset(term for term, pile in cells if pile == row["pile"]),
                frozenset(term for term, pile in cells if pile != UNPLACED),
                row["words"],
            )
        )
    return found


def groups_by_tier(published: Iterable[Row]) -> dict[str, dict[str, frozenset[str]]]:
    """Return the published groups of each tier: their terms by id."""
    found: dict[str, dict[str, set[str]]] = {tier: {} for tier in TIERS}
    for row in published:
        for tier in TIERS:
            found[tier].setdefault(row[tier], set()).add(row["term"])
    return {
        tier: {own: frozenset(terms) for own, terms in sorted(groups.items())}
        for tier, groups in found.items()
    }
