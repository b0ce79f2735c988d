"""
How often the numbers of people that the dossier plans would have settled it.

`python tests/calibration/run_planning.py` draws studies, keeps one line of each in
`.calibration/planning.jsonl`, and writes `tests/calibration/planning.md`, the table of
DEVELOPERS.md. It can be stopped at any time and goes on where it stopped; what was run with other
code is run again. `--held-out` runs the make that no plan was chosen on, alone; its table is
`planning_held_out.md`.

A study whose equivalence is not shown is planned for. Then the plan is followed, `FOLLOWED` times:
by another study of the same truth with as many people as the plan comes to (nobody of the first
study takes part), and by the people of the first study together with the further people. Each is
asked the two criteria that a plan is about: the lower end of the corrected correlation and the
smaller reliability. Two other ways of drawing studies stand beside the library's: people redrawn
with replacement, and the correlation drawn from its error too.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import argparse
import json
import os
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "scripts")]

import numpy as np
from calibration.cases import Case, Invented, invent
from calibration.judging import agreed_margins, defaults, hash_of, hash_of_text
from calibration.makes import HELD_OUT, MAKES
from calibration.run_operating import RUNS, kept
from felloe.comparison.correlating.corrected import corrected_correlation
from felloe.comparison.more_people import planning
from felloe.comparison.more_people.planning import (
    drawn_truths,
    fewest,
    people_to_settle,
    share_shown,
)
from felloe.comparison.more_people.simulated_study import (
    Estimates,
    Study,
    drawn_study,
    estimates_of,
    reliability_of,
)
from felloe.ground.arrays import Array, Bools, Floats
from felloe.ground.people.halves import split_half_reliability
from felloe.ground.people.pairs import pair_vectors, person_covariances
from felloe.ground.randomness import Streams

STUDIES, SEED = 150, 17
HALVES = 50
FOLLOWED = 5
MOST = 300  # people of either population; larger plans are counted and not followed
REDRAWN = 60  # further people up to which redrawing people is tried
LUMPERS = (0.8, 0.2)
CASES = (
    *(Case(f"alike, {n} v {n}", (n, n)) for n in (10, 15, 20)),
    Case("alike, 10 v 30", (10, 30)),
    Case("noise 1 / 2, 20 v 20", (20, 20), noise=(1.0, 2.0)),
    Case("lumpers 80 % / 20 %, 35 v 35", (35, 35), lumpers=LUMPERS),
)
WAYS = {
    "library": "as the dossier",
    "one_side": "as the dossier, the smaller population alone",
    "all_drawn": "the correlation drawn too",
    "redrawn": "people redrawn",
}
Task = tuple[str, Case, int, str]


@dataclass(frozen=True)
class Seen:
    """A study as the plan sees it: people, how they agree, what the two criteria are asked of."""

    piles: Array
    first: Bools
    covariances: Floats
    study: Study

    @property
    def sizes(self) -> tuple[int, int]:
        """People of the first and of the second population."""
        return int(self.first.sum()), int((~self.first).sum())


def looked_at(piles: Array, first: Bools, rng: np.random.Generator) -> Seen:
    """Return what two populations show."""
    vectors = pair_vectors(piles)
    one, other = (split_half_reliability(vectors.of(who), HALVES, rng) for who in (first, ~first))
    covariances = person_covariances(vectors)
    correlation = corrected_correlation(covariances, first)
    found = Study(correlation, (one.reliability, other.reliability), (np.nan, np.nan))
    return Seen(piles, first, covariances, found)


def shown(study: Study) -> bool:
    """Return whether both criteria of equivalence are met, by the library's own words."""
    return bool(planning.shows_agreement(study, agreed_margins()))


def redrawn_study(seen: Seen, sizes: tuple[int, int], rng: np.random.Generator) -> Study:
    """Return a study of people redrawn with replacement; copies of a person are counted."""
    members = np.flatnonzero(seen.first), np.flatnonzero(~seen.first)
    people = [rng.choice(who, size) for who, size in zip(members, sizes, strict=True)]
    drawn = seen.covariances[np.ix_(*[np.concatenate(people)] * 2)]
    first = np.arange(sum(sizes)) < sizes[0]
    reliabilities = []
    for who in (first, ~first):
        within = drawn[np.ix_(who, who)]
        n, own = len(within), float(np.trace(within))
        mean = (float(within.sum()) - own) / (n * (n - 1))
        reliabilities.append(reliability_of(mean, own / n, n))
    return Study(
        corrected_correlation(drawn, first), (reliabilities[0], reliabilities[1]), (0.0, 0.0)
    )


def by_redrawing(seen: Seen, streams: Streams) -> int | None:
    """Return how many more of each are planned from redrawn people."""

    def share(more: int) -> float:
        sizes = seen.sizes[0] + more, seen.sizes[1] + more
        draws = (streams.generator("redrawn", number) for number in range(100))
        return float(np.mean([shown(redrawn_study(seen, sizes, rng)) for rng in draws]))

    found = fewest(share, REDRAWN)
    return None if found is None else found.more


def with_drawn_correlation(known: Estimates, seen: Seen, streams: Streams) -> int | None:
    """Return how many more of each are planned where the true correlation is drawn as well."""
    truths = []
    for number, truth in enumerate(drawn_truths(known, seen.sizes, streams)):
        rng = streams.generator("true correlation", number)
        looked = replace(known, correlation=min(known.correlation, 1.0))
        drawn = drawn_study(rng, looked, seen.sizes)
        sides = [
            replace(side, mean=mean)
            for side, mean in zip((truth.first, truth.second), drawn.means, strict=True)
        ]
        value = min(drawn.correlation.corrected, 1.0)
        truths.append(replace(truth, first=sides[0], second=sides[1], correlation=value))

    def share(more: int) -> float:
        sizes = seen.sizes[0] + more, seen.sizes[1] + more
        return share_shown(truths, sizes, shown, streams)

    found = fewest(share, planning.MOST_FACTOR * max(seen.sizes))
    return None if found is None else found.more


def followed(
    invented: Invented, seen: Seen, more: tuple[int, int], rng: np.random.Generator
) -> tuple[float, float]:
    """Return how often it was shown: by fresh people alone, by today's with further people."""
    sizes = seen.sizes[0] + more[0], seen.sizes[1] + more[1]
    fresh, joined = 0, 0
    for _ in range(FOLLOWED):
        fresh += shown(looked_at(*invented.people(rng, sizes), rng).study)
        piles, first = invented.people(rng, more)
        everybody = np.concatenate([seen.piles, piles]) if len(piles) else seen.piles
        who = np.concatenate([seen.first, first])
        joined += shown(looked_at(everybody, who, rng).study)
    return fresh / FOLLOWED, joined / FOLLOWED


def plans_of(seen: Seen, case: Case, streams: Streams) -> tuple[str, dict[str, Any]]:
    """Return the question, and the further people (first, second) by each way of planning."""
    margins, study = agreed_margins(), seen.study
    known = estimates_of(seen.covariances, seen.first, study.reliabilities)
    if known is None:
        return "unknown", {}
    if known.correlation < margins.corrected_r:
        return "shortfall", {}
    plan = people_to_settle(known, "agreement", seen.sizes, margins, streams)
    each = {"library": plan.of_each.more if plan.of_each else None}
    if len(set(case.people)) == 1:
        each["all_drawn"] = with_drawn_correlation(known, seen, streams)
        each["redrawn"] = by_redrawing(seen, streams)
    ways = {name: more and (more, more) for name, more in each.items()}
    if len(set(case.people)) > 1:
        ways["one_side"] = plan.first_only and (plan.first_only.more, 0)
    return plan.question, ways


def simulate(task: Task) -> dict[str, Any]:
    """Return what is kept of one study."""
    make, case, number, code = task
    rng = Streams(SEED, f"{make}\n{case.name}").generator("planning", number)
    invented = invent({**MAKES, **HELD_OUT}[make], case, rng)
    seen = looked_at(*invented.people(rng, case.people), rng)
    record: dict[str, Any] = {"make": make, "case": case.name, "run": number, "code": code}
    if shown(seen.study):
        return {**record, "question": None, "ways": {}}
    question, ways = plans_of(seen, case, Streams(SEED + number, f"planning {make} {case.name}"))
    told: dict[str, Any] = {}
    for name, more in ways.items():
        large = more is not None and max(np.add(seen.sizes, more)) > MOST
        told[name] = {"more": more and max(more), "large": bool(large)}
        if more is not None and not large:
            told[name]["fresh"], told[name]["joined"] = followed(invented, seen, more, rng)
    return {**record, "question": question, "ways": told}


def code_now() -> str:
    """Return what must be the same for a run to stand."""
    code = hash_of(*(f"calibration.{name}" for name in ("cases", "attributes", "nested_truth")))
    text = Path(__file__).read_text(encoding="utf-8").partition("def code_now")[0]
    for name in ("planning", "simulated_study"):
        text += Path(sys.modules[f"felloe.comparison.{name}"].__file__ or "").read_text("utf-8")
    return hash_of_text(f"{code} {text} {defaults()['comparison']}")


def shares(found: list[dict[str, Any]], key: str) -> str:
    """Return the mean share of follow-ups that showed it, with its standard error over studies."""
    values = [one[key] for one in found if key in one]
    if not values:
        return "none"
    error = np.std(values, ddof=1) / np.sqrt(len(values)) if len(values) > 1 else np.nan
    return f"{np.mean(values):.2f} ({error:.2f}) of {len(values)}"


def rows(records: list[dict[str, Any]], makes: list[str]) -> Iterator[str]:
    """Return the rows of the table."""
    for make in makes:
        for case in CASES:
            runs = [one for one in records if (one["make"], one["case"]) == (make, case.name)]
            open_ = [one for one in runs if one["question"]]
            short = sum(one["question"] == "shortfall" for one in open_)
            for name, way in WAYS.items():
                found = [one["ways"][name] for one in open_ if name in one["ways"]]
                if not found:
                    continue
                asked = [one["more"] for one in found if one["more"] is not None]
                none, large = len(found) - len(asked), sum(one["large"] for one in found)
                middle = f"{np.median(asked):.0f}" if asked else "none"
                cells = [make, case.name, way, f"{len(open_)} of {len(runs)}", short, none]
                cells += [large, middle, shares(found, "fresh"), shares(found, "joined")]
                yield f"| {' | '.join(map(str, cells))} |"


HEAD = (
    "people", "case", "studies drawn", "not shown", "below the margin", "no plan", "too large",
    "median more", "shown by fresh people", "shown with today's people",
)  # fmt: skip


def main() -> None:
    """Read the command line, run what is missing, write the table."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--studies", type=int, default=STUDIES, help="of every row")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--make", action="append", help="run this make alone; repeatable")
    parser.add_argument("--table-only", action="store_true", help="run nothing")
    parser.add_argument("--held-out", action="store_true", help="only when the plan is final")
    chosen = parser.parse_args()
    makes = list(HELD_OUT if chosen.held_out else MAKES)
    name = "planning_held_out" if chosen.held_out else "planning"
    path, code = RUNS / f"{name}.jsonl", code_now()
    path.parent.mkdir(parents=True, exist_ok=True)
    done = {(one["make"], one["case"], one["run"]) for one in kept(path) if one["code"] == code}
    missing = [
        (make, case, number, code)
        for number in range(chosen.studies)
        for make in chosen.make or makes
        for case in CASES
        if (make, case.name, number) not in done
    ]
    if not chosen.table_only:
        run(simulate, missing, path, chosen.processes)
    records = [one for one in kept(path) if one["code"] == code]
    lines = [f"| {' | '.join(HEAD)} |", "|" + "---|" * len(HEAD), *rows(records, makes)]
    (HERE / f"{name}.md").write_text("\n".join(lines) + "\n", encoding="utf-8")


def run(
    function: Callable[[Task], dict[str, Any]], missing: list[Task], path: Path, processes: int
) -> None:
    """Run what is missing and append each study as it ends."""
    with get_context("spawn").Pool(processes) as pool, open(path, "a", encoding="utf-8") as stream:
        stream.write("\n")  # after a line that was cut off
        for number, record in enumerate(pool.imap_unordered(function, missing), start=1):
            stream.write(json.dumps(record) + "\n")
            stream.flush()
            if number % 200 == 0:
                print(f"{number} of {len(missing)} missing studies", flush=True)


if __name__ == "__main__":
    main()
