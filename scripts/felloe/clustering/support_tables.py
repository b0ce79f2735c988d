"""The tables of what supports the tree: nodes, groups, terms, and the cuts considered."""

import numpy as np

from felloe.clustering.consensus import Homes
from felloe.clustering.summary import convention
from felloe.clustering.support import NodeSupports
from felloe.ground.tables import number, read_table, write_table

NODE_COLUMNS = (
    "node", "members", "height", "bootstrap_proportion", "jaccard", "jaccard_null_mean",
    "jaccard_null_95", "supported", "convention", "bootstrap_without_rogues",
    "jaccard_without_rogues", "au",
)  # fmt: skip
CLASS_COLUMNS = (
    "class", "n_terms", "members", "jaccard", "jaccard_null_mean", "jaccard_null_95",
    "convention", "holds", "reason",
)  # fmt: skip
HOME_COLUMNS = (
    "term", "class", "home_probability", "rival_class", "rival_probability", "margin",
    "ambiguous_share", "rogue",
)  # fmt: skip
COUNT_COLUMNS = (
    "n_classes", "tier", "chosen", "recommended", "mean_rank", "silhouette", "gap", "gap_error",
    "gap_criterion", "height_low", "height_high", "height_gap", "below_chance", "tied", "mojena",
    "small_groups", "minimum_jaccard", "mean_jaccard", "null_mean_jaccard",
    "null_largest_jaccard", "supported", "pac", "null_pac", "bootstrap_rand",
)  # fmt: skip


def write_nodes(path, terms, nodes):
    """
    Write the support of every merge; the last one holds all terms and has none.

    Parameters
    ----------
    path : str or Path
    terms : sequence of str
    nodes : NodeSummary
    """
    columns = (
        nodes.heights, nodes.proportion, nodes.jaccard, nodes.null_mean, nodes.null_limit,
        nodes.supported, [convention(value) for value in nodes.jaccard],
        nodes.proportion_kept, nodes.jaccard_kept, nodes.au,
    )  # fmt: skip
    names = [";".join(np.array(terms)[group]) for group in nodes.groups]
    write_table(path, NODE_COLUMNS, zip(range(len(names)), names, *columns, strict=True))


def write_classes(path, terms, found, limits):
    """
    Write the support of every class.

    Parameters
    ----------
    path : str or Path
    terms : sequence of str
    found : ClassSummary
    limits : Limits
    """
    rows = []
    for label, jaccard in enumerate(found.jaccard):
        inside = found.classes == label
        size = int(inside.sum())
        reason = limits.failure(size, limits.class_size, jaccard, found.null.limit)
        names = np.array(terms)[inside]
        rows.append(
            (names[0], size, ";".join(names), jaccard, found.null.mean, found.null.limit,
             convention(jaccard), not reason, reason)
        )  # fmt: skip
    write_table(path, CLASS_COLUMNS, rows)


def write_homes(path, terms, found):
    """
    Write where each term falls when participants are redrawn.

    Parameters
    ----------
    path : str or Path
    terms : sequence of str
    found : ClassSummary
    """
    homes = found.homes
    ids = [terms[int(np.argmax(found.classes == label))] for label in range(len(found.jaccard))]
    rivals = [ids[label] if label >= 0 else "" for label in homes.rival]
    rows = zip(
        terms, [ids[label] for label in homes.home], homes.home_probability, rivals,
        homes.rival_probability, homes.margin, found.ambiguous, found.rogues, strict=True,
    )  # fmt: skip
    write_table(path, HOME_COLUMNS, rows)


def read_nodes(path, terms):
    """Read the supports of the nodes as NodeSupports; terms are numbered as given."""
    place = {term: one for one, term in enumerate(terms)}
    return NodeSupports(
        {
            frozenset(place[term] for term in row["members"].split(";")): (
                number(row["jaccard"]),
                number(row["jaccard_null_95"]),
            )
            for row in read_table(path)
        }
    )


def read_classes(path):
    """Read whether each class holds, (K,) array of bool in the order of classes."""
    return np.array([row["holds"] == "yes" for row in read_table(path)])


def read_homes(path, terms, classes):
    """Read the homes of the terms; `classes` numbers the classes."""
    label = dict(zip(terms, classes.tolist(), strict=True))
    rows = read_table(path)
    return Homes(
        home=classes,
        home_probability=np.array([number(row["home_probability"]) for row in rows]),
        rival=np.array([label.get(row["rival_class"], -1) for row in rows]),
        rival_probability=np.array([number(row["rival_probability"]) for row in rows]),
    )


def write_class_counts(path, choice):
    """
    Write every number of groups considered with the indices it was judged by.

    Parameters
    ----------
    path : str or Path
    choice : TierChoice
    """
    write_table(path, COUNT_COLUMNS, choice.rows())


def read_class_counts(path):
    """Read the cuts considered; answers become truth values, numbers numbers, `tier` text."""
    answers = ("chosen", "recommended", "below_chance", "tied", "supported")
    return [
        {
            name: text if name == "tier" else text == "yes" if name in answers else number(text)
            for name, text in row.items()
        }
        for row in read_table(path)
    ]
