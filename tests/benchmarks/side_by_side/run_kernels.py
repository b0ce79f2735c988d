"""Check and time kernels, and write what was found."""

import shutil
from time import perf_counter

from benchmarks.side_by_side.figure_kernels import draw_kernels
from benchmarks.side_by_side.in_r import PROGRAM
from benchmarks.side_by_side.invented_studies import study_of
from benchmarks.side_by_side.kernel import OURS, REPEATS, Disagreement, measured
from benchmarks.side_by_side.machine import measured_rates
from benchmarks.side_by_side.results import as_csv, as_markdown, short
from felloe.ground.drawing import save_figure

NAME = "kernels"
ENDINGS = ("svg", "pdf", "png")


def run_kernels(wanted, folder, say):
    """
    Measure kernels; write a table, a page and a figure to a folder.

    Parameters
    ----------
    wanted : dict of str to (callable, tuple of str)
        As in `catalogue.KERNELS`.
    folder : Path
    say : callable
        Prints a line.

    Returns
    -------
    int
        1 if two sides disagree somewhere; what is named is then left out of the tables.
    """
    started = perf_counter()
    say("What this machine does in a second ...")
    rates = measured_rates()
    say("; ".join(f"{name} {rate:.2g}" for name, rate in rates.items()))
    if not shutil.which(PROGRAM):
        say(f"{PROGRAM} is not installed here: what would be written in R is left out.")
    found, wrong = [], []
    studies = {size: study_of(size) for _, sizes in wanted.values() for size in sizes}
    for name, (make, sizes) in wanted.items():
        for size in sizes:
            try:
                one = measured(make(studies[size]), rates)
            except Disagreement as disagreement:
                wrong.append(str(disagreement))
                say(f"WRONG  {disagreement}")
            else:
                found.append(one)
                write_tables(found, rates, folder)
                say(told(one, name))
    if found:
        figure = draw_kernels(found)
        save_figure(figure, [folder / f"{NAME}.{ending}" for ending in ENDINGS], NAME)
        say(f"{folder / NAME}.csv, .md, .svg, .pdf and .png are written.")
    say(f"{perf_counter() - started:.0f} s; processor time, median of {REPEATS}, of one if long.")
    say(f"{len(wrong)} of {len(wrong) + len(found)} disagree." if wrong else "All sides agree.")
    return 1 if wrong else 0


def told(one, name):
    """Return a line about one kernel."""
    kernel = one.kernel
    others = ", ".join(
        f"{side} {short(one.ratio(side))} x" for side in kernel.sides if side != OURS
    )
    spent, floors = short(1000 * one.seconds[OURS]), short(one.above_floor)
    return (
        f"{name:<11} {kernel.size}: {spent} ms a {kernel.unit}, {floors} x its floor; {others}; "
        f"same within {max(one.differences.values()):.1g}"
    )


def write_tables(found, rates, folder):
    """Write what was found so far."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{NAME}.csv").write_text(as_csv(found), encoding="utf-8")
    (folder / f"{NAME}.md").write_text(as_markdown(found, rates), encoding="utf-8")
