"""How long the rest of a run will take, judged by the benchmarks of an earlier one."""

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

TARGET = "all"  # the rule that only gathers; it takes no time and has no benchmark


def seconds_of_rules(folder: Path) -> dict[str, float]:
    """
    Return each rule's mean seconds a job, from the benchmarks under `folder`/results.

    A benchmark is `.../benchmarks/<rule>.tsv` or any file under `.../benchmarks/<rule>/`; its first
    column `s` holds seconds. Files that are no benchmark, or half written, are passed over.
    """
    seconds: dict[str, list[float]] = {}
    for path in (folder / "results").glob("**/benchmarks/**/*.tsv"):
        parts = path.parts
        rule = Path(parts[len(parts) - parts[::-1].index("benchmarks")]).stem
        try:
            heading, row = path.read_text(encoding="utf-8").splitlines()[:2]
            took = float(row.split("\t")[heading.split("\t").index("s")])
        except (OSError, ValueError):
            continue
        if math.isfinite(took):
            seconds.setdefault(rule, []).append(took)
    return {rule: math.fsum(sorted(took)) / len(took) for rule, took in seconds.items()}


def seconds_left(
    remaining: Mapping[str, int],
    seconds: Mapping[str, float],
    cores: int,
    after: Mapping[str, Sequence[str]] | None = None,
) -> float | None:
    """
    Estimate the seconds that the remaining jobs take.

    Parameters
    ----------
    remaining : mapping of str to int
        Jobs that have not ended, by rule.
    seconds : mapping of str to float
        As returned by `seconds_of_rules`.
    cores : int
        Jobs that run at once.
    after : mapping of str to sequence of str, optional
        The rules that wait for each, which stand behind it.

    Returns
    -------
    float or None
        T / m + (1 - 1 / m) C, of all jobs' seconds T, m cores and the seconds C of the longest
        chain of jobs that wait for each other: no order in which a core is never idle while a job
        could run takes longer, and none is shorter than T / m or C. A rule without benchmark
        counts as the mean of the others; None if no rule has one, or if it is not known how many
        jobs run at once (`cores` 0, as on a cluster).

    References
    ----------
    R. L. Graham (1966), Bounds for certain multiprocessing anomalies, Bell System Technical Journal
    45, 1563-1581 (from memory).
    """
    if not seconds or not cores:
        return None
    mean = math.fsum(seconds.values()) / len(seconds)
    took = {
        rule: expected(rule, seconds, mean)
        for rule, count in remaining.items()
        if count > 0 and rule != TARGET
    }
    if not took:
        return 0.0
    total = math.fsum(remaining[rule] * each for rule, each in took.items())
    return total / cores + (1 - 1 / cores) * longest_chain(took, after or {})


def longest_chain(took: Mapping[str, float], after: Mapping[str, Sequence[str]]) -> float:
    """Return the seconds of the longest chain of rules, each of which waits for the one before."""
    chains = dict(took)
    for rule in reversed(list(after)):
        waiting = [chains[other] for other in after[rule] if other in chains]
        if rule in took and waiting:
            chains[rule] = took[rule] + max(waiting)
    return max(chains.values())


def expected(rule: str, seconds: Mapping[str, float], otherwise: float) -> float:
    """Return a rule's seconds; a rule named for one study (`<rule>_<study>`) has the rule's."""
    if rule in seconds:
        return seconds[rule]
    shorter = [name for name in seconds if rule.startswith(f"{name}_")]
    return seconds[max(shorter, key=len)] if shorter else otherwise


def in_words(left: float) -> str:
    """Return a time in seconds as people say it, no finer than the estimate deserves."""
    if left < 58:
        return f"about {max(5, 5 * round(left / 5))} s left"
    return f"about {round(left / 60)} min left"
