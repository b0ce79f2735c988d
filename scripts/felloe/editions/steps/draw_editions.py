"""Step: figures of two editions compared."""

from collections.abc import Sequence
from dataclasses import replace

from felloe.circle.tables import read_spans
from felloe.clustering.tree_files import read_distances
from felloe.colours.tables import COLOURS
from felloe.comparison.provisional_words import marked
from felloe.editions.columns.figure_columns import (
    WIDTH_MM,
    draw_migration,
    migration_of,
    told_under,
)
from felloe.editions.columns.figure_distances import draw_distances
from felloe.editions.fates import COMMON
from felloe.editions.tables import TERMS
from felloe.editions.wheels.hues import partners_of
from felloe.editions.words import distances_title, migration_title
from felloe.ground.drawing import figure, save_figure, use_fonts
from felloe.ground.files.records import read_json
from felloe.ground.terms import Terms


def main(
    *,
    comparison: str,
    terms: str,
    older_distances: str,
    newer_distances: str,
    older_order: str,
    newer_order: str,
    newer_colours: str,
    migration: list[str],
    distances: list[str],
    preview: bool = False,
    fonts: Sequence[str] = (),
) -> None:
    """Draw the terms' ways from class to class, and the distances of both editions."""
    use_fonts(fonts)
    record, rows = read_json(comparison), TERMS.read(terms)
    editions = record["older"]["edition"], record["newer"]["edition"]
    marks = (
        marked(editions[0], record["older"]["provisional"]),
        marked(editions[1], record["newer"]["provisional"]),
    )
    common = [row for row in rows if row["change"] in COMMON]
    rings = tuple(read_spans(older_order)), tuple(read_spans(newer_order))
    hues = {row["term"]: row for row in COLOURS.read(newer_colours) if row["tier"] == "class"}
    drawn = migration_of(common, rings, partners_of(record["classes"]))
    told = told_under(drawn, editions, record["terms"])
    fig = figure(WIDTH_MM, drawn.height(told))
    draw_migration(fig.add_axes((0, 0, 1, 1)), drawn, hues, editions, marks, told)
    save_figure(fig, migration, title=migration_title(*marks), preview=preview)
    newer = read_distances(newer_distances).on(row["term"] for row in common)
    older = read_distances(older_distances).on(row["term_older"] for row in common)
    fig = figure(120, 120)
    older = replace(older, terms=Terms(newer.terms))  # renamed terms by their newer ids
    draw_distances(fig.add_subplot(), older, newer, marks)
    save_figure(fig, distances, title=distances_title(*marks), preview=preview)
