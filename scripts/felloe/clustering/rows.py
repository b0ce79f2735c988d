"""
What was computed, as rows of the tables.

Apart from the declarations, so that a step that reads the tree does not consist of the code
that measures its support.
"""

from collections.abc import Mapping
from pathlib import Path

import numpy as np

from felloe.clustering.choice import Limits, TierChoice
from felloe.clustering.linkages import LinkageResult
from felloe.clustering.replicates.bootstrap import Bootstrap
from felloe.clustering.replicates.consensus import majority_clades
from felloe.clustering.replicates.summary import ClassSummary, NodeSummary, convention
from felloe.clustering.tables import (
    CLASS_COUNTS,
    CLASS_SHARES,
    CLASSES,
    HOMES,
    LINKAGES,
    SUPPORT,
    TIES,
)
from felloe.clustering.ties import TieAudit
from felloe.ground.files.newick import tree_of_groups, tree_of_linkage, write_newick
from felloe.ground.files.tables import write_square


def write_supports(
    paths: Mapping[str, str],
    found: Bootstrap,
    nodes: NodeSummary,
    classes: ClassSummary,
    limits: Limits,
) -> None:
    """Write how well nodes and classes hold, where terms fall, and both trees with supports."""
    write_nodes(paths["support"], nodes)
    write_classes(paths["class_support"], classes, limits)
    write_homes(paths["homes"], classes)
    write_class_shares(paths["class_shares"], classes)
    write_square(paths["consensus"], found.terms, classes.consensus)
    supports = [*nodes.proportion, 1.0]
    write_newick(paths["tree"], tree_of_linkage(found.tree.Z, found.terms, supports))
    clades, counts = majority_clades(found.redrawn.merges)
    shares = counts / len(found.redrawn.merges)
    write_newick(paths["consensus_tree"], tree_of_groups(clades, shares.tolist(), found.terms))


def write_nodes(path: str | Path, nodes: NodeSummary) -> None:
    """Write the support of every merge; the last one holds all terms and has none."""
    terms = np.array(nodes.terms)
    columns = zip(
        (tuple(terms[group].tolist()) for group in nodes.groups),
        nodes.heights,
        nodes.proportion,
        nodes.jaccard,
        nodes.null_mean,
        nodes.null_limit,
        nodes.supported,
        map(convention, nodes.jaccard),
        nodes.proportion_kept,
        nodes.jaccard_kept,
        nodes.au,
        strict=True,
    )
    SUPPORT.write(path, [(number, *values) for number, values in enumerate(columns)])


def write_classes(path: str | Path, found: ClassSummary, limits: Limits) -> None:
    """Write the support of every class, and why it does not hold."""
    rows = []
    for group, (name, jaccard) in enumerate(zip(found.classes.ids, found.jaccard, strict=True)):
        members, without = found.classes.members(group), found.null
        reason = limits.failure(len(members), limits.class_size, jaccard, without.limit)
        rows.append(
            {
                "class": name,
                "n_terms": len(members),
                "members": members,
                "jaccard": jaccard,
                "jaccard_null_mean": without.mean,
                "jaccard_null_95": without.limit,
                "convention": convention(jaccard),
                "holds": not reason,
                "reason": reason,
            }
        )
    CLASSES.write(path, rows)


def write_homes(path: str | Path, found: ClassSummary) -> None:
    """Write where each term falls when participants are redrawn."""
    homes, ids = found.homes, found.classes.ids
    columns = zip(
        found.classes.terms,
        found.classes.of_terms,
        homes.home_probability,
        (ids[label] if label >= 0 else "" for label in homes.rival),
        homes.rival_probability,
        homes.margin,
        found.ambiguous,
        found.rogues,
        strict=True,
    )
    HOMES.write(path, list(columns))


def write_class_shares(path: str | Path, found: ClassSummary) -> None:
    """Write how often each term falls into each class."""
    ids, shares = found.classes.ids, found.homes.shares
    CLASS_SHARES.write(
        path,
        (
            (term, of_class, shares[row, column])
            for row, term in enumerate(found.classes.terms)
            for column, of_class in enumerate(ids)
        ),
    )


def write_class_counts(path: str | Path, choice: TierChoice) -> None:
    """Write every number of groups considered with the indices it was judged by."""
    CLASS_COUNTS.write(path, choice.rows())


def write_linkages(path: str | Path, compared: list[LinkageResult], chosen: str) -> None:
    """Write all linkages side by side; `chosen` is the linkage of the chart."""
    LINKAGES.write(
        path,
        [
            {
                "linkage": one.linkage,
                "cophenetic_correlation": one.cophenetic_correlation,
                "cophenetic_null_mean": one.cophenetic_null_mean,
                "agglomerative_coefficient": one.agglomerative_coefficient,
                "ari_class": one.ari_class,
                "ari_subclass": one.ari_subclass,
                "n_terms_changing_class": len(one.changing),
                "chosen": one.linkage == chosen,
                "terms_changing_class": one.changing,
            }
            for one in compared
        ],
    )


def write_ties(path: str | Path, audit: TieAudit) -> None:
    """Write the share of input orders in which each term changes its groups."""
    TIES.write(path, list(zip(audit.terms, audit.term_share, audit.subclass_share, strict=True)))
