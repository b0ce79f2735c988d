"""The tables of the calibration of partial sorts."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from calibration import judging
from calibration.judging import agreed_margins, answer
from calibration.operating_table import TESTS, line
from calibration.partial_cells import CHANCE, DOSSIER, EDITIONS, SCREENING, Cell
from felloe.comparison.correlating.corrected import Z_95
from felloe.comparison.exchanging.term_differences import wilson_interval

LEVEL = 0.05
PARTS = (0.0, 0.5, 0.75, 0.9, 1.0001)  # of home probabilities
Records = list[dict[str, Any]]
Found = Sequence[tuple[Cell, Records]]


def share(values: Sequence[Any]) -> str:
    """Return a share in percent with its 95 % score interval; '-' of nothing."""
    return share_of(int(np.sum(values)), len(values))


def share_of(count: int, number: int) -> str:
    """Return `count` of `number` in percent with its 95 % score interval; '-' of nothing."""
    if not number:
        return "-"
    told, low, high = (100.0 * float(one) for one in wilson_interval(count, number, Z_95))
    digits = 1 if number <= 1000 else 2
    return f"{told:.{digits}f} ({low:.{digits}f} to {high:.{digits}f})"


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return a table."""
    return "\n".join(line(cells) for cells in (head, ["---"] * len(head), *rows))


DOSSIER_HEAD = (
    "make", "cell", "runs", "unrestricted", "covariates", "matched", "single terms",
    "a term named wrongly", "moved terms named, of 100",
)  # fmt: skip
ANSWER_HEAD = (
    "make", "cell", "pool", "pool with notes", "keep apart", "cannot tell", "true correlation",
    "its estimate", "interval holds it", "reliability told", "correlation with a second study",
)  # fmt: skip


def test_row(cell: Cell, records: Records) -> list[str]:
    """Return how often the tests reject, and which terms they name."""
    moved = [set(one["moved"]) for one in records]
    named = [set(one["named"]) for one in records]
    found = [len(a & b) / len(b) for a, b in zip(named, moved, strict=True) if b]
    return [
        cell.source, cell.told, str(len(records)),
        *(share([one[test] <= LEVEL for one in records]) for test in TESTS),
        share([bool(a - b) for a, b in zip(named, moved, strict=True)]),
        f"{100 * np.mean(found):.1f}" if found else "-",
    ]  # fmt: skip


def answer_row(cell: Cell, records: Records) -> list[str]:
    """Return what the rule answers, and how the correlations that it asks lie to the truth."""
    said = [answer(one, agreed_margins())[0] for one in records]
    told = np.array([[one["halves"]["told"], one["halves"]["true"]] for one in records])
    truths = np.array([one["truth"] for one in records])
    ends = np.array([one["corrected"] for one in records], dtype=float)
    known = np.isfinite(ends[:, 1])
    # ends are cut at 1
    holds = (ends[:, 0] <= truths) & (truths <= np.where(ends[:, 2] >= 1.0, np.inf, ends[:, 2]))
    return [
        cell.source, cell.told,
        *(share([each == verdict for each in said]) for verdict in judging.ANSWERS),
        f"{truths.mean():.3f}", f"{ends[known, 1].mean():.3f}", share(holds[known]),
        f"{np.nanmean(told[:, 0]):.3f}", f"{np.nanmean(told[:, 1]):.3f}",
    ]  # fmt: skip


HOME_HEAD = ("cell", "home probability", "terms", "its mean", "in the true class, of 100")


def home_rows(cell: Cell, records: Records) -> Iterator[list[str]]:
    """Yield how often terms of some home probability stand in their true class."""
    home = np.concatenate([one["home"] for one in records])
    right = np.concatenate([one["right"] for one in records])
    for low, high in pairwise(PARTS):
        inside = (home >= low) & (home < high)
        told = ["-", "-"]
        if inside.any():
            told = [f"{home[inside].mean():.2f}", f"{100 * right[inside].mean():.1f}"]
        yield [cell.told, f"{low:g} to {min(high, 1):g}", str(int(inside.sum())), *told]


EDITIONS_HEAD = (
    "make", "cell", "runs", "moved terms called robust", "possible", "noise",
    "other terms called robust", "possible", "noise", "studies with a false robust move",
    "without correspondence",
)  # fmt: skip


def over_studies(values: Sequence[float]) -> str:
    """Return a mean of shares of studies in percent with its 95 % interval; '-' of nothing."""
    if not values:
        return "-"
    found = 100.0 * np.array(values)
    error = Z_95 * float(found.std(ddof=1)) / np.sqrt(len(found)) if len(found) > 1 else np.nan
    return f"{found.mean():.1f} ± {error:.1f}"


def editions_row(cell: Cell, records: Records) -> list[str]:
    """Return how terms that moved, and those that did not, are graded; means over studies."""
    sides: tuple[list[Counter[str]], list[Counter[str]]] = ([], [])
    for one in records:
        moved = set(one["moved"])
        graded: tuple[Counter[str], Counter[str]] = (Counter(), Counter())
        for term, grade in enumerate(one["grades"]):
            graded[term not in moved][grade] += 1
        for side, counted in zip(sides, graded, strict=True):
            side.extend([counted] * bool(counted))
    shares = [
        over_studies([one[grade] / one.total() for one in side])
        for side in sides
        for grade in ("robust", "possible", "noise")
    ]
    false = [one["robust"] > 0 for one in sides[1]]
    lacking = [one["grades"].count("no_correspondence") / len(one["grades"]) for one in records]
    return [
        cell.source, cell.told, str(len(records)), *shares, share(false), over_studies(lacking)
    ]  # fmt: skip


SCREENING_HEAD = ("make", "cell", "terms shown", "honest people", "left out", "by rule")


def screening_rows(cell: Cell, records: Records) -> Iterator[list[str]]:
    """Yield how many honest people of each number of terms are left out, and why."""
    honest: Counter[int] = Counter()
    lost: Counter[tuple[int, str]] = Counter()
    for one in records:
        honest.update({int(number): count for number, count in one["honest"]})
        lost.update({(int(number), rule): count for number, rule, count in one["lost"]})
    for number, people in sorted(honest.items()):
        rules = {rule: count for (shown, rule), count in sorted(lost.items()) if shown == number}
        told = ", ".join(f"{rule} {count}" for rule, count in rules.items()) or "-"
        count = share_of(sum(rules.values()), people)
        yield [cell.source, cell.told, str(number), str(people), count, told]


CHANCE_HEAD = (
    "cell", "runs", "6 classes below the null's line", "any number below it",
    "a class of 6 holds", "a class of any number holds", "chance line less its truth, in 1,000",
)  # fmt: skip


def chance_row(cell: Cell, records: Records) -> list[str]:
    """Return how often something is called beyond chance where all sort at random."""
    below = [one["below_null"] for one in records]
    holds = [one["holds"] for one in records]
    off = 1000 * np.array([one["line"] for one in records])
    return [
        cell.told, str(len(records)),
        share([one["6"] for one in below]), share([any(one.values()) for one in below]),
        share([one["6"] > 0 for one in holds]), share([any(one.values()) for one in holds]),
        f"{off.mean():+.2f} (standard deviation {off.std():.2f})",
    ]  # fmt: skip


def of_kind(found: Found, kind: str) -> Found:
    """Return the cells of one kind."""
    return [(cell, records) for cell, records in found if cell.kind == kind]


def report(found: Found) -> str:
    """Return every table, of the cells that have runs."""
    dossier = of_kind(found, DOSSIER)
    known = [(cell, records) for cell, records in dossier if "home" in records[0]]
    parts = (
        ("Tests of the dossier: rejections at 0.05", DOSSIER_HEAD,
         [test_row(*one) for one in dossier]),
        ("Answers of the dossier, and what they rest on", ANSWER_HEAD,
         [answer_row(*one) for one in dossier]),
        ("Home probabilities (5 classes, half of the placements astray)", HOME_HEAD,
         [row for one in known for row in home_rows(*one)]),
        ("Two editions of 30 people each, 6 classes charted", EDITIONS_HEAD,
         [editions_row(*one) for one in of_kind(found, EDITIONS)]),
        ("Honest people left out by screening with its default rules", SCREENING_HEAD,
         [row for one in of_kind(found, SCREENING) for row in screening_rows(*one)]),
        ("People who sort at random", CHANCE_HEAD,
         [chance_row(*one) for one in of_kind(found, CHANCE)]),
    )  # fmt: skip
    told = "\n\n".join(f"## {title}\n\n{table(head, rows)}" for title, head, rows in parts if rows)
    return (
        "# Sorts in parts where the truth is known\n\n40 terms; 30 people of each population where "
        "nothing else is said; everybody sorts all terms and what was shown is kept, so that the "
        "set shown does not change a sort. Shares in percent, with 95 % intervals: score intervals "
        "of shares of studies and of people, ± where shares of terms are averaged over studies.\n\n"
        f"{told}\n"
    )
