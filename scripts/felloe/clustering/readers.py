"""Supports read from the tables, for the stages downstream."""

from pathlib import Path

import numpy as np

from felloe.clustering.consensus import Homes
from felloe.clustering.support import NodeSupports
from felloe.clustering.tables import CLASSES, HOMES, SUPPORT
from felloe.ground.arrays import Bools, Ints
from felloe.ground.terms import Terms


def read_nodes(path: str | Path, terms: Terms) -> NodeSupports:
    """Read the supports of the nodes; terms are numbered as given."""
    return NodeSupports(
        {
            frozenset(terms.places(row["members"])): (row["jaccard"], row["jaccard_null_95"])
            for row in SUPPORT.read(path)
        }
    )


def read_classes(path: str | Path) -> Bools:
    """Read whether each class holds, (K,) array of bool in the order of classes."""
    return np.array([row["holds"] for row in CLASSES.read(path)])


def read_homes(path: str | Path, terms: Terms, classes: Ints) -> Homes:
    """Read the homes of the terms; `classes` numbers the classes."""
    label = dict(zip(terms, classes.tolist(), strict=True))
    rows = {row["term"]: row for row in HOMES.read(path)}
    told = [rows[term] for term in terms]
    return Homes(
        home=classes,
        home_probability=np.array([row["home_probability"] for row in told]),
        rival=np.array([label.get(row["rival_class"], -1) for row in told]),
        rival_probability=np.array([row["rival_probability"] for row in told]),
    )
