"""How the cost of every stage grows with terms and with people, and what is claimed of it."""

import csv
import io
from time import perf_counter

from benchmarks.growth.figure_growth import draw_growth
from benchmarks.growth.limited_cells import GIGABYTES, SECONDS, Cell, measured_cell
from benchmarks.growth.slopes import CLAIMED, PEOPLE, TERMS, verdict
from benchmarks.growth.stages import STAGES
from benchmarks.side_by_side.invented_studies import invented
from felloe.ground.drawing import save_figure

SHOWN = 40
SIZES = {  # terms and people of the studies along each axis
    TERMS: [(terms, 500) for terms in (50, 100, 200, 400, 700, 1000)],
    PEOPLE: [(200, people) for people in (50, 200, 1000, 5000, 20000)],
}
NAME, ENDINGS = "growth", ("svg", "pdf", "png")
COLUMNS = ("axis", "stage", "draws", "terms", "people", "seconds", "megabytes", "not_measured")


def run_growth(folder, say, sizes=SIZES, stages=STAGES):
    """
    Measure all stages along both axes; write a table, a page and a figure to a folder.

    Parameters
    ----------
    folder : Path
    say : callable
        Prints a line.
    sizes : dict of str to list of (int, int)
    stages : sequence of Stage

    Returns
    -------
    int
        1 if a stage failed by itself; one that is over its limits is told and no failure.
    """
    started, cells = perf_counter(), []
    warm(stages)
    for axis, steps in sizes.items():
        over = {}
        for terms, people in steps:
            study = begun(terms, people)
            asked = [stage for stage in stages if stage.of_people or axis == TERMS]
            said = [told(along(axis, stage, study, over, cells)) for stage in asked]
            say(f"{axis}, {study.size}: {'; '.join(said)}")
    write(cells, folder, stages)
    for line in lines_of(cells, stages)[2:]:
        say(line)
    say(f"{folder / NAME}.csv, .md, .svg, .pdf and .png are written.")
    say(f"{perf_counter() - started:.0f} s; processor time of few draws, {SHOWN} terms a person.")
    return int(any(cell.stopped.startswith("failed") for cell in cells))


def begun(terms, people):
    """Return a study with its distances and classes, which all stages begin from."""
    study = invented(terms, people, SHOWN)
    assert study.published.n_groups == study.classes  # worked out here, and kept by the study
    return study


def warm(stages):
    """Run every stage once on a tiny study, so that what it imports is there in every cell."""
    tiny = invented(30, 40, 20)
    for stage in stages:
        stage.prepared(tiny)()


def along(axis, stage, study, over, cells):
    """Measure a stage, unless a smaller study was too much for it; keep what was found."""
    if stage.name in over:
        cell = Cell(stage.name, axis, study.n_terms, study.n_people, stopped=over[stage.name])
    else:
        cell = measured_cell(stage, axis, study)
        if cell.stopped:
            over[stage.name] = f"not begun: a smaller study was {cell.stopped}"
    cells.append(cell)
    return cell


def told(cell):
    """Return what one cell took, in words."""
    return f"{cell.stage} {cell.stopped or f'{cell.seconds:.2g} s'}"


def as_csv(cells, stages):
    """Return the table of all cells."""
    draws = {stage.name: stage.draws for stage in stages}
    stream = io.StringIO()
    table = csv.writer(stream, lineterminator="\n")
    table.writerow(COLUMNS)
    for cell in cells:
        spent = ["", ""] if cell.stopped else [f"{cell.seconds:.4g}", f"{cell.megabytes:.0f}"]
        row = [cell.axis, cell.stage, draws[cell.stage], cell.terms, cell.people]
        table.writerow([*row, *spent, cell.stopped])
    return stream.getvalue()


def lines_of(cells, stages):
    """Return a table with a row a stage: its largest study, its slopes, what is claimed."""
    lines = [
        f"| stage, draws | grows with terms to the power (claimed: {CLAIMED[TERMS]:g} at the most) "
        f"| with people ({CLAIMED[PEOPLE]:g}) |",
        "| --- | --- | --- |",
    ]
    for stage in stages:
        columns = []
        for axis in (TERMS, PEOPLE):
            own = [cell for cell in cells if (cell.stage, cell.axis) == (stage.name, axis)]
            columns.append(verdict(own, axis) if own else "asks nobody")
        lines.append(f"| {stage.name}, {stage.draws} | {columns[0]} | {columns[1]} |")
    return lines


def write(cells, folder, stages):
    """Write the table, the page and the figure."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{NAME}.csv").write_text(as_csv(cells, stages), encoding="utf-8")
    page = "\n".join(lines_of(cells, stages))
    limits = f"Each within {SECONDS} s of a processor and {GIGABYTES} GB, else it is not measured."
    (folder / f"{NAME}.md").write_text(f"{page}\n\n{limits}\n", encoding="utf-8")
    figure = draw_growth(cells, [stage.name for stage in stages])
    save_figure(figure, [folder / f"{NAME}.{ending}" for ending in ENDINGS], NAME)
