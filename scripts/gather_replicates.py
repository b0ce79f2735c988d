"""Step: what the replicates say about the tree, and how many classes it is cut into."""

from felloe.clustering.choice import RULE, Limits, choose_tiers
from felloe.clustering.consensus import majority_clades
from felloe.clustering.linkages import compare_linkages
from felloe.clustering.null import collect_null
from felloe.clustering.parts import gather_parts
from felloe.clustering.redraws import make_basis
from felloe.clustering.summary import summarise_classes, summarise_nodes
from felloe.clustering.support import null_nodes
from felloe.clustering.support_tables import (
    write_class_counts,
    write_classes,
    write_homes,
    write_nodes,
)
from felloe.clustering.tables import read_linkage, write_linkages
from felloe.comparison.chart import read_chart_source
from felloe.errors import StudyError
from felloe.ground.linkage import cut
from felloe.ground.newick import tree_of_groups, tree_of_linkage, write_newick
from felloe.ground.randomness import Streams
from felloe.ground.records import write_json
from felloe.ground.tables import read_square, write_square
from felloe.validation.tables import read_analysed


def main(
    *, parts, sorts, chart, distances, linkage, study, seed, method, gap_sets, rogue_below,
    rogue_most, classes, classes_range, subclasses, subclasses_range, minimum_class_size,
    minimum_subclass_size, minimum_support, support, tree, consensus, consensus_tree,
    class_counts, class_support, homes, linkages, summary,
):  # fmt: skip
    """Write supports, consensus, the table of cuts, homes and what was chosen."""
    read, chart = read_analysed(sorts), read_chart_source(chart)
    terms, apart = read_square(distances)
    Z = read_linkage(linkage)
    merges, null_merges, scale_merges = gather_parts(parts)
    basis = make_basis(read.piles, read.populations, chart.source, chart.weights)
    limits = Limits(minimum_class_size, minimum_subclass_size, minimum_support)
    null = collect_null(basis, method, Streams(seed, study), gap_sets, null_merges)
    asked = (classes, classes_range), (subclasses, subclasses_range)
    try:
        choice = choose_tiers(Z, apart, merges, null, limits, method, *asked)
    except ValueError as error:
        raise StudyError(f"tiers: {error}. Mend `tiers` in the settings.") from error
    number = choice.classes.number
    without = choice.null_of_classes()
    found = summarise_classes(Z, merges, number, without, rogue_below, rogue_most)
    nodes_without = null_nodes(null.trees, null_merges)
    nodes = summarise_nodes(Z, merges, nodes_without, found.rogues, minimum_support, scale_merges)
    write_class_counts(class_counts, choice)
    write_nodes(support, terms, nodes)
    write_classes(class_support, terms, found, limits)
    write_homes(homes, terms, found)
    write_newick(tree, tree_of_linkage(Z, terms, [*nodes.proportion, 1.0]))
    clades, counts = majority_clades(merges)
    write_newick(consensus_tree, tree_of_groups(clades, counts / len(merges), terms))
    write_square(consensus, terms, found.consensus)
    nested = cut(Z, number), cut(Z, choice.subclasses.number)
    write_linkages(linkages, terms, compare_linkages(apart, null.distances, *nested), method)
    write_json(summary, overview(merges, null_merges, choice, found, nodes, nodes_without, terms))


def overview(merges, null_merges, choice, found, nodes, without, terms):
    """Return the record of the whole bootstrap."""
    tiers = {
        name: {"number": tier.number, "fixed": tier.fixed, "note": tier.note}
        for name, tier in (("classes", choice.classes), ("subclasses", choice.subclasses))
    }
    return {
        "replicates": len(merges),
        "monte_carlo_error_at_one_half": 0.5 / len(merges) ** 0.5,
        "null_sets": len(null_merges),
        "null_replicates": null_merges.shape[1],
        **tiers,
        "rule": RULE,
        "cut_heights": {
            name: [row["height_low"], row["height_high"]]
            for name, tier in (("classes", choice.classes), ("subclasses", choice.subclasses))
            for row in tier.rows
            if row["chosen"]
        },
        "mojena_number": choice.mojena,
        "chance_line": choice.chance,
        "pac": found.pac,
        "pac_null": found.null.pac,
        "class_jaccard_mean": float(found.jaccard.mean()),
        "class_jaccard_null_mean": found.null.mean,
        "class_jaccard_null_95": found.null.limit,
        "bootstrap_proportion_null_95": without.limit,
        "nodes": len(nodes.groups),
        "nodes_supported": int(nodes.supported.sum()),
        "nodes_at_least_half": int((nodes.proportion >= 0.5).sum()),
        "rogues": [term for term, rogue in zip(terms, found.rogues, strict=True) if rogue],
        "mean_bootstrap_proportion": float(nodes.proportion.mean()),
        "jaccard_convention": "Hennig (2007), set for redrawn objects: 0.5 dissolved, 0.6, 0.75, "
        "0.85 highly stable; a convention, to be read beside the values without structure",
    }


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
