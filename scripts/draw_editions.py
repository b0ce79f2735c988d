"""Step: figures of two editions compared."""

from felloe.editions.figures import draw_distances, draw_migration, migration_height
from felloe.ground.drawing import figure, save_figure
from felloe.ground.records import read_json
from felloe.ground.tables import read_square, read_table


def main(*, comparison, terms, older_distances, newer_distances, migration, distances):
    """Draw the terms' ways from class to class, and the distances of both editions."""
    record, rows = read_json(comparison), read_table(terms)
    years = record["older"]["edition"], record["newer"]["edition"]
    common = [row for row in rows if row["change"] in ("kept", "renamed")]
    fig = figure(190, migration_height(common))
    draw_migration(fig.add_axes((0, 0, 1, 1)), common, years)
    save_figure(fig, *migration, title=f"Classes of {years[0]} and {years[1]}")
    matrices = []
    for path, column in ((older_distances, "term_older"), (newer_distances, "term")):
        known, apart = read_square(path)
        places = [known.index(row[column]) for row in common]
        matrices.append(apart[places][:, places])
    fig = figure(120, 120)
    draw_distances(fig.add_subplot(), *matrices, years)
    save_figure(fig, *distances, title=f"Distances of {years[0]} and {years[1]}")


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
