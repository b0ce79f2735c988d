"""Step: two editions compared on their common terms."""

from felloe.editions.comparison import (
    compare_distances,
    compare_drawings,
    compare_partitions,
    compare_people,
)
from felloe.editions.correspondence import match_classes
from felloe.editions.crosswalk import write_crosswalk
from felloe.editions.edition import common_terms, read_edition
from felloe.editions.record import comparison_record
from felloe.editions.tables import class_rows, term_rows, write_edition_terms
from felloe.ground.randomness import Streams
from felloe.ground.records import write_json


def main(*, older_results, newer_results, comparison, terms, crosswalk, older, newer, settings):
    """Compare what both studies found, and say what became of each term."""
    first, second = read_edition(older_results, older), read_edition(newer_results, newer)
    pairs = common_terms(first, second)
    names = [new for _, new in pairs]
    cut = first.cut_down([old for old, _ in pairs], names), second.cut_down(names, names)
    classes = [edition.partitions["published"]["class"] for edition in cut]
    correspondence = match_classes(*classes)
    streams = Streams(settings["seed"], f"{older}--{newer}")
    permutations, bounds = settings["permutations"], settings["bounds"]
    drawn = permutations, settings["redraws"], settings["halves"]
    rows = term_rows(first, second, pairs, correspondence, bounds)
    related = class_rows(first, second, pairs, correspondence)
    measures = {
        "mantel": compare_distances(*cut, permutations, streams),
        **compare_people(*cut, *drawn, streams),
        "tiers": compare_partitions(*cut),
        **compare_drawings(*cut, permutations, streams),
    }
    write_json(comparison, comparison_record(first, second, rows, related, measures, bounds))
    write_edition_terms(terms, rows)
    write_crosswalk(crosswalk, first, second, rows, related)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
