"""Step: two editions compared on their common terms."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from felloe.editions.chance.noise import Study, noise_of
from felloe.editions.chance.planted_tables import simulated_editions
from felloe.editions.comparison import compare
from felloe.editions.correspondence import Bounds, against_chance, believed, match_classes
from felloe.editions.edition import common_terms
from felloe.editions.fates import class_pairs, term_fates
from felloe.editions.linking.links import links_of
from felloe.editions.reading import EditionPaths, read_edition
from felloe.editions.record import comparison_record, noise_record
from felloe.editions.settings import Settings
from felloe.editions.tables import LINKS, TERMS
from felloe.ground.files.records import write_json
from felloe.ground.randomness import Streams


def main(
    *,
    comparison: str,
    terms: str,
    links: str,
    older: str,
    newer: str,
    seed: int,
    settings: dict[str, Any],
    bounds: dict[str, Any],
    smallest_cell: int,
    linkages: Sequence[str] = ("average", "average"),
    preview: bool = False,
    priors: Sequence[float | None] = (None, None),
    **results: str,
) -> None:
    """Compare what both studies found, and say what became of each term."""
    was = read_edition(older, EditionPaths.of("older", results), priors[0])
    now = read_edition(newer, EditionPaths.of("newer", results), priors[1])
    linked, grades = links_of(LINKS.read(links)), Bounds(**bounds)
    pairs = common_terms(was, now, linked)
    names = [new for _, new in pairs]
    older_part = was.cut_down([old for old, _ in pairs], names)
    newer_part = now.cut_down(names, names)
    chosen, streams = Settings(**settings), Streams(seed, f"{older}--{newer}")
    divided = older_part.classes, newer_part.classes
    chance = against_chance(*divided, streams.generator("editions classes"), chosen.permutations)
    correspondence = believed(match_classes(*divided), chance, grades.correspondence)
    measures = compare(older_part, newer_part, chosen, streams)
    fates = term_fates(was, now, linked, correspondence, grades, measures.placed_differently)
    classes = class_pairs(fates, correspondence, chance)
    noise = [
        noise_of(Study.of(edition, part_terms, linkage), part, name, chosen.halves, streams)
        for name, edition, part, part_terms, linkage in (
            ("older", was, older_part, [old for old, _ in pairs], linkages[0]),
            ("newer", now, newer_part, names, linkages[1]),
        )
    ]
    parts = fates, classes, chance, measures, grades
    record = comparison_record(was, now, *parts, smallest_cell)
    beside = noise_record(noise, measures.people, simulated_editions())
    write_json(comparison, {**record, **beside, "preview": preview})
    TERMS.write(terms, (asdict(fate) for fate in fates))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
