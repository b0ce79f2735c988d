"""
How far the forecast of `plan STUDY` is off, for people whom it was not made for.

`python tests/calibration/run_foresight.py` draws a pilot of each make, runs it through Felloe, asks
for a plan from it, and holds that against studies of many more people of the same make. It keeps
one line for each pilot in `.calibration/foresight.jsonl`, prints the table of DEVELOPERS.md, and
can be stopped and goes on. Nothing of the plan is tuned on what comes out.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(HERE.parent), str(ROOT / "scripts")]

import numpy as np
from calibration.cases import Make, Person
from calibration.makes import HELD_OUT, MAKES
from calibration.run_operating import kept
from felloe.foresight.assumptions import Truth
from felloe.foresight.disagreement import mirkin_of_many
from felloe.foresight.expected import recovery, reliability, shares_of
from felloe.foresight.movement import (
    PERMUTATIONS,
    difference_p,
    numbers_tried,
    smallest_movement,
)
from felloe.foresight.plan import Cell, column
from felloe.foresight.reading import assumed_for
from felloe.foresight.sorters import least_seen
from felloe.ground.arrays import Array, Bools
from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.randomness import Streams
from felloe.settings import read_settings, resolve
from study_folder import write_rows

TERMS = 40
PILOT, LARGE = 30, 2000  # people of the pilot, and of the sample that is the truth
PEOPLE, EACH, STUDIES, PILOTS = (40, 80, 160), (40, 16), 20, 4
NOISE = 2.0  # at usual care most of these people see all there is with the fewest people
SETTINGS = """
studies: {pilot: pilot}
editions: []
bootstrap: {replicates: 100, parts: 1, null_replicates: 20}
clustering: {tie_orders: 20, null_replicates: 20}
comparison: {permutations: 99, shape_permutations: 99, splits: 20}
tiers: {classes_range: [3, 10], subclasses_range: [8, 20]}
design: {pilot: pilot}
"""
STUDY = """
title: A pilot
edition: 2026
instruction: Put together what is alike.
populations: {a: A, b: B}
"""


def run_pilot(folder: Path, piles: Array) -> None:
    """Run whole sorts of two populations, as equal as can be, through Felloe up to the chart."""
    terms = [f"t{term:02}" for term in range(TERMS)]
    people = [f"p{person:02}" for person in range(len(piles))]
    sorts = [
        (who, term, int(pile))
        for who, own in zip(people, piles, strict=True)
        for term, pile in zip(terms, own, strict=True)
    ]
    populations = [(who, "ab"[number % 2]) for number, who in enumerate(people)]
    study = folder / "pilot"
    study.mkdir()
    (study / "study.yaml").write_text(STUDY, encoding="utf-8")
    write_rows(study / "terms.csv", [("term", "label"), *zip(terms, terms, strict=True)])
    write_rows(study / "participants.csv", [("participant", "population"), *populations])
    write_rows(study / "sorts.csv", [("participant", "term", "pile"), *sorts])
    (folder / "settings.yaml").write_text(SETTINGS, encoding="utf-8")
    command = [sys.executable, str(ROOT / "scripts" / "run"), "results/pilot/tiers/data_only.csv"]
    command += ["--cores", "1", "--configfile", "settings.yaml", "--directory", "."]
    subprocess.run(command, cwd=folder, check=True, capture_output=True)


def forecast(folder: Path, streams: Streams) -> tuple[Truth, list[Cell]]:
    """Return the groups that the plan takes from the pilot, and what it promises."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        assumed = assumed_for(resolve(read_settings(["settings.yaml"])), TERMS, streams)
    finally:
        os.chdir(before)
    return assumed.truth, [cell for each in EACH for cell in column(assumed, each, PEOPLE, streams)]


class People:
    """Real people of one make, in two populations alike or with terms that moved."""

    def __init__(self, make: Make, streams: Streams) -> None:
        self.make, self.streams = make, streams
        self.known = make.structure(streams.generator("structure"), TERMS)

    def sorts(self, purpose: str, number: int, people: int, moved: int = 0) -> Array:
        """Return whole sorts of some people; those of more people begin with those of fewer."""
        rng, known = self.streams.generator(purpose, number), self.known
        if moved:
            terms = self.streams.generator("moved", number).permutation(TERMS)[:moved]
            known = self.make.moved(self.streams.generator("goes", number), known, np.sort(terms))
        return np.stack([self.make.sort(rng, known, Person(None, NOISE)) for _ in range(people)])

    def truth(self, numbers: tuple[int, int]) -> Truth:
        """Return the classes and subclasses of a large sample, as many as a plan speaks of."""
        tree = build_tree(
            rounded_dissimilarity(shares_of(self.sorts("large", 0, LARGE), None)), "average"
        )
        return Truth(*(cut(tree, number) for number in numbers))

    def study(self, number: int, shown: Sequence[Bools], moved: int) -> list[Array]:
        """Return the sorts of both populations of one study, of what was shown."""
        whole = [
            self.sorts(f"study {place}", number, len(own), moved * place)
            for place, own in enumerate(shown)
        ]
        return [np.where(own, piles, UNPLACED) for own, piles in zip(shown, whole, strict=True)]


def found_out(people: People, cell: Cell, truth: Truth) -> dict[str, Any]:
    """Return what real studies of the size of a cell show."""
    half, prior = cell.people // 2, None if cell.each == TERMS else 1.0
    shown = [
        least_seen(people.streams.generator("shown", place), half, TERMS, cell.each)
        for place in (0, 1)
    ]
    first = np.arange(2 * half) < half
    told, back = [], []
    for number in range(STUDIES):
        piles = np.concatenate(people.study(number, shown, 0))
        told.append(reliability(people.streams.generator("halves", number), piles, prior))
        back.append(recovery(piles, truth, prior, "average"))

    @cache
    def seen(moved: int) -> float:
        p = []
        for number in range(STUDIES):
            piles = np.concatenate(people.study(number, shown, moved))
            rng = people.streams.generator("labels", number)
            p.append(difference_p(rng, piles, first, PERMUTATIONS, mirkin_of_many(piles)))
        return float(np.mean(np.array(p) <= 0.05))

    real = smallest_movement(numbers_tried(TERMS), seen, None)
    return {
        "reliability": float(np.mean(told)),
        "classes": float(np.mean([one.classes for one in back])),
        "subclasses": float(np.mean([one.subclasses for one in back])),
        "moved": real.terms,
        "seen": None if cell.movement.terms is None else seen(cell.movement.terms),
    }


def one_pilot(make: Make, number: int) -> list[dict[str, Any]]:
    """Return what a plan from one pilot promises at every size, and what real studies show."""
    streams = Streams(number, f"foresight {make.name}")
    people = People(make, streams)
    with tempfile.TemporaryDirectory() as name:
        run_pilot(Path(name), people.sorts("pilot", 0, PILOT))
        groups, cells = forecast(Path(name), streams)
    truth, lines = people.truth(groups.numbers), []
    for cell in cells:
        promised = {
            **{key: getattr(cell, key).mean for key in ("reliability", "classes", "subclasses")},
            "moved": cell.movement.terms,
        }
        size = {"each": cell.each, "people": cell.people}
        lines.append({**size, "promised": promised, "real": found_out(people, cell, truth)})
    return lines


def rows(found: Sequence[dict[str, Any]], make: str) -> Iterator[str]:
    """Yield the lines of the table for one make: promised / real, means over pilots."""
    for each in EACH:
        for people in PEOPLE:
            cells = [
                cell
                for line in found
                if line["make"] == make
                for cell in line["cells"]
                if (cell["each"], cell["people"]) == (each, people)
            ]
            if not cells:
                continue
            told = [f"{make}", f"{each}", f"{people}"]
            for key in ("reliability", "classes", "subclasses"):
                both = [[cell[side][key] for cell in cells] for side in ("promised", "real")]
                worst = max(one - other for one, other in zip(*both, strict=True))
                told.append(f"{np.mean(both[0]):.2f} / {np.mean(both[1]):.2f} ({worst:+.2f})")
            most = numbers_tried(TERMS)[-1] + 1  # stands for: the largest number is not enough
            moved = [
                float(np.median([cell[side]["moved"] or most for cell in cells]))
                for side in ("promised", "real")
            ]
            seen = [cell["real"]["seen"] for cell in cells if cell["real"]["seen"] is not None]
            told += [f"{moved[0]:g} / {moved[1]:g}", f"{np.mean(seen):.2f}" if seen else "-"]
            yield f"| {' | '.join(told)} |"


def main() -> None:
    """Run what is missing and print the table."""
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("--pilots", type=int, default=PILOTS)
    asked = reader.parse_args()
    path, makes = Path(".calibration", "foresight.jsonl"), {**MAKES, **HELD_OUT}
    path.parent.mkdir(exist_ok=True)
    found = list(kept(path))
    done = {(line["make"], line["pilot"]) for line in found}
    for number in range(asked.pilots):
        for name, make in makes.items():
            if (name, number) in done:
                continue
            found.append({"make": name, "pilot": number, "cells": one_pilot(make, number)})
            with open(path, "a", encoding="utf-8") as stream:
                stream.write(f"\n{json.dumps(found[-1])}\n")  # after a line that was cut off
            print(f"{name}, pilot {number}", flush=True)
    for name in makes:
        print("\n".join(rows(found, name)))


if __name__ == "__main__":
    main()
