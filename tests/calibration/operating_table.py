"""The table of the operating characteristics: kept runs to Markdown."""

from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
from calibration.cells import PEOPLE_OF_TRUTH, SEED, Cell
from calibration.judging import ANSWERS, DRAWS, answer
from felloe.comparison.verdict import Margins
from scipy.stats import binomtest, kstest

Record = dict[str, Any]
TESTS = ("p_unrestricted", "p_adjusted", "p_matched", "p_shape")

ANSWER_HEADS = (
    "people", "cell", "runs", *ANSWERS, "blurred", "different", "terms named rightly",
    "terms named wrongly", "lower end of corrected r (median)", "interval holds the truth",
    "smaller reliability (median)", "reasons",
)  # fmt: skip
LEVEL_HEADS = (
    "people", "cell", "runs", "unrestricted", "adjusted", "matched", "shape",
    "uniform: adjusted", "uniform: matched",
)  # fmt: skip


def rejections(p_values: Sequence[float], alpha: float) -> int:
    """Return how many p are at most the level."""
    return int(np.sum(np.asarray(p_values) <= alpha))


def uniformity(p_values: Sequence[float]) -> float:
    """Return the Kolmogorov-Smirnov p of permutation p spread within their steps."""
    spread = np.random.default_rng(SEED).random(len(p_values)) / (DRAWS["permutations"] + 1)
    return float(kstest(np.asarray(p_values) - spread, "uniform").pvalue)


def line(cells: Sequence[object]) -> str:
    """Return one row of a Markdown table."""
    return "| " + " | ".join(map(str, cells)) + " |"


def coverage(records: Sequence[Record]) -> str:
    """Return the share of intervals that hold the truth, of those that were given."""
    held = [
        low <= record["truth"] <= high
        for record in records
        for low, _, high in [record["corrected"]]
        if record["truth"] is not None and np.isfinite(low)
    ]
    return f"{np.mean(held):.3f} of {len(held)}" if held else "–"


def median(values: Sequence[float]) -> str:
    """Return a median, without what is unknown."""
    known = [value for value in values if np.isfinite(value)]
    return f"{np.median(known):.2f}" if known else "–"


def named(records: Sequence[Record]) -> tuple[str, str]:
    """Return how many terms are named rightly and wrongly, on average."""
    if any(record["moved"] is None for record in records):
        return "–", f"({np.mean([len(record['named']) for record in records]):.2f} in all)"
    right = [len(set(record["named"]) & set(record["moved"])) for record in records]
    wrong = [len(set(record["named"]) - set(record["moved"])) for record in records]
    return f"{np.mean(right):.2f}", f"{np.mean(wrong):.2f}"


def answer_row(cell: Cell, records: Sequence[Record], margins: Margins) -> str:
    """Return one row of the table of answers."""
    answers = [answer(record, margins) for record in records]
    said, why = (Counter(part) for part in zip(*answers, strict=True))
    found = [record for record in records if record["p_matched"] <= margins.alpha]
    different = sum(bool(record["named"]) for record in found)
    n = len(records)
    return line(
        [
            cell.source,
            cell.name,
            n,
            *(f"{said[one] / n:.3f}" for one in ANSWERS),
            f"{(len(found) - different) / n:.3f}",
            f"{different / n:.3f}",
            *named(records),
            median([record["corrected"][0] for record in records]),
            coverage(records),
            median([record["reliability"] for record in records]),
            ", ".join(f"{reason} {number}" for reason, number in why.most_common()),
        ]
    )


def level_row(cell: Cell, records: Sequence[Record], margins: Margins) -> str:
    """Return one row of the table of rejections."""
    n, shares = len(records), []
    for test in TESTS:
        rejected = rejections([record[test] for record in records], margins.alpha)
        ends = binomtest(rejected, n).proportion_ci(method="wilson")
        shares.append(f"{rejected / n:.3f} ({ends.low:.3f} to {ends.high:.3f})")
    uniform = [
        f"{uniformity([record[test] for record in records]):.3f}" if cell.alike else "–"
        for test in ("p_adjusted", "p_matched")
    ]
    return line([cell.source, cell.name, n, *shares, *uniform])


def report(
    cells: Sequence[Cell], records: dict[tuple[str, str], list[Record]], margins: Margins
) -> str:
    """Return both tables with what they rest on; cells without a run are left out."""
    draws = ", ".join(f"{number} {name}" for name, number in DRAWS.items()).replace("_", " ")
    ran = [
        (cell, records[cell.source, cell.name])
        for cell in cells
        if records.get((cell.source, cell.name))
    ]
    return "\n".join(
        [
            f"Draws of each run: {draws}; level {margins.alpha}; margins: {margins}.",
            "",
            "Share of runs with each answer. Blurred: the matched test finds a difference and no "
            "term is named; different: it does, and terms are named. Intervals are held against 1 "
            "where both populations sort by one law, else against the corrected correlation of "
            f"{PEOPLE_OF_TRUTH[0]} and {PEOPLE_OF_TRUTH[1]} further people.",
            "",
            line(ANSWER_HEADS),
            "|---" * len(ANSWER_HEADS) + "|",
            *(answer_row(cell, found, margins) for cell, found in ran),
            "",
            "Share of runs in which each test rejects, with its 95 % interval (Wilson); uniform: "
            "Kolmogorov-Smirnov p where both populations sort by one law.",
            "",
            line(LEVEL_HEADS),
            "|---" * len(LEVEL_HEADS) + "|",
            *(level_row(cell, found, margins) for cell, found in ran),
            "",
        ]
    )
