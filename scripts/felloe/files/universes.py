"""Universes of the sensitivity analysis as tables, and the sorts before anybody was left out."""

import numpy as np

from felloe.files.sorts import UNPLACED, Sorts
from felloe.files.tables import number, read_table, write_table

COLUMNS = (
    "universe", "screening", "weighting", "linkage", "n_classes", "n_participants", "is_chart",
    "ari_with_published", "n_terms_changing", "terms_changing",
)  # fmt: skip


def read_received(sorts, register, terms):
    """
    Read the sorts of every valid participant, screened or not.

    Parameters
    ----------
    sorts, register : str or Path
        Canonical long table of sorts, and participants with their populations.
    terms : sequence of str
        In sorted order.

    Returns
    -------
    Sorts
    """
    population = {row["participant"]: row["population"] for row in read_table(register)}
    place = {term: one for one, term in enumerate(terms)}
    piles = {}
    for row in read_table(sorts):
        own = piles.setdefault(row["participant"], np.full(len(terms), UNPLACED, dtype=np.int16))
        if row["pile"]:
            own[place[row["term"]]] = int(row["pile"])
    names = tuple(sorted(piles))
    return Sorts(
        names,
        tuple(population[name] for name in names),
        tuple(terms),
        np.array([piles[name] for name in names]),
    )


def universe_rows(universes, terms, choices, n_participants):
    """Return one row per universe, not yet numbered."""
    return [
        {
            **choices,
            "linkage": one.linkage,
            "n_classes": one.n_classes,
            "n_participants": n_participants,
            "ari_with_published": one.rand,
            "n_terms_changing": len(one.changing),
            "terms_changing": ";".join(terms[term] for term in one.changing),
        }
        for one in universes
    ]


def write_universes(path, rows):
    """Write universes, as dictionaries keyed by `COLUMNS`."""
    write_table(path, COLUMNS, rows)


def read_universes(path):
    """Read universes; numbers become numbers, `terms_changing` a list."""
    return [
        {
            **row,
            "n_classes": int(row["n_classes"]),
            "n_participants": int(row["n_participants"]),
            "ari_with_published": number(row["ari_with_published"]),
            "n_terms_changing": int(row["n_terms_changing"]),
            "terms_changing": [term for term in row["terms_changing"].split(";") if term],
            "is_chart": row["is_chart"] == "yes",
        }
        for row in read_table(path)
    ]
