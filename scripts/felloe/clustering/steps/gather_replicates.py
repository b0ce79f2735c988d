"""Step: what the replicates say about the tree, and how many classes it is cut into."""

from typing import Any

from felloe.clustering.choice import Limits, choose_tiers
from felloe.clustering.linkages import compare_linkages
from felloe.clustering.record import bootstrap_record
from felloe.clustering.replicates.bootstrap import Bootstrap
from felloe.clustering.replicates.consensus import RogueRule
from felloe.clustering.replicates.null import collect_null
from felloe.clustering.replicates.parts import read_parts
from felloe.clustering.replicates.reading import read_basis
from felloe.clustering.replicates.summary import summarise_classes, summarise_nodes
from felloe.clustering.rows import write_class_counts, write_linkages, write_supports
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.errors import StudyError
from felloe.ground.files.records import write_json
from felloe.ground.groups.ranges import GroupNumbers
from felloe.ground.randomness import Streams


def main(
    *,
    parts: list[str],
    sorts: str,
    chart: str,
    distances: str,
    linkage: str,
    study: str,
    seed: int,
    method: str,
    gap_sets: int,
    rogues: dict[str, Any],
    numbers: dict[str, Any],
    limits: dict[str, Any],
    prior: float | None = None,
    **outputs: str,
) -> None:
    """Write supports, consensus, the table of cuts, homes and what was chosen."""
    redrawn, holding = read_parts(parts), Limits(**limits)
    basis = read_basis(sorts, chart, redrawn.terms, "the redraws", prior)
    null = collect_null(basis, method, Streams(seed, study), gap_sets, redrawn.null_merges)
    found = Bootstrap(read_tree(linkage), read_distances(distances), method, redrawn, null)
    try:
        choice = choose_tiers(found, holding, GroupNumbers(**numbers))
    except ValueError as error:
        raise StudyError(f"tiers: {error}. Mend `tiers` in the settings.") from error
    number, without = choice.classes.number, choice.null_of_classes()
    classes = summarise_classes(found, number, without, RogueRule(**rogues))
    nodes = summarise_nodes(found, classes.rogues, holding.support)
    groups = found.tree.cut(number), found.tree.cut(choice.subclasses.number)
    compared = compare_linkages(found.distances, null.distances, *groups)
    write_class_counts(outputs["class_counts"], choice)
    write_supports(outputs, found, nodes, classes, holding)
    write_linkages(outputs["linkages"], compared, method)
    write_json(outputs["summary"], bootstrap_record(redrawn, choice, classes, nodes))
