"""What the stage leaves as JSON: numbers and codes."""

from typing import Any

from felloe.clustering.choice import Choice, TierChoice
from felloe.clustering.replicates.bootstrap import Redrawn
from felloe.clustering.replicates.summary import HALF, ClassSummary, NodeSummary
from felloe.clustering.ties import TieAudit


def bootstrap_record(
    redrawn: Redrawn, choice: TierChoice, found: ClassSummary, nodes: NodeSummary
) -> dict[str, Any]:
    """Return the record of the whole bootstrap: `clustering/bootstrap.json`."""
    tiers = {"classes": choice.classes, "subclasses": choice.subclasses}
    terms = found.classes.terms
    return {
        "replicates": len(redrawn.merges),
        "monte_carlo_error_at_one_half": 0.5 / len(redrawn.merges) ** 0.5,
        "null_sets": len(redrawn.null_merges),
        "null_replicates": redrawn.null_merges.shape[1],
        **{name: number_record(tier) for name, tier in tiers.items()},
        "cut_heights": {
            name: [tier.row["height_low"], tier.row["height_high"]] for name, tier in tiers.items()
        },
        "mojena_number": choice.mojena,
        "chance_line": choice.chance,
        "pac": found.pac,
        "pac_null": found.null.pac,
        "class_jaccard_mean": float(found.jaccard.mean()),
        "class_jaccard_null_mean": found.null.mean,
        "class_jaccard_null_95": found.null.limit,
        "bootstrap_proportion_null_95": nodes.null_proportion,
        "nodes": len(nodes.groups),
        "nodes_supported": int(nodes.supported.sum()),
        "nodes_at_least_half": int((nodes.proportion >= HALF).sum()),
        "rogues": [term for term, rogue in zip(terms, found.rogues, strict=True) if rogue],
        "mean_bootstrap_proportion": float(nodes.proportion.mean()),
    }


def number_record(choice: Choice) -> dict[str, Any]:
    """Return what is told of a number of groups."""
    return {
        "number": choice.number,
        "fixed": choice.fixed,
        "range": choice.span.asked,
        "possible": choice.span.possible,
    }


def ties_record(audit: TieAudit) -> dict[str, Any]:
    """Return the totals of the tie audit: `clustering/ties.json`."""
    return {
        "orders": audit.orders,
        "distinct_trees": audit.distinct_trees,
        "distinct_merge_sequences": audit.distinct_mergings,
        "pairs": audit.pairs,
        "distinct_distances": audit.distinct_values,
        "adjusted_rand_mean": audit.rand_mean,
        "adjusted_rand_least": audit.rand_least,
        "class_agreement": audit.class_agreement,
        "node_share": audit.node_share,
    }
