"""An invented study of any size: people sort what they were shown by classes or subclasses."""

from pathlib import Path

import numpy as np

CLASSES, SUBCLASSES = 12, 36
ASTRAY = (0.3, 0.35)  # share of terms put anywhere, by population
COARSE = 0.5  # share of people who see classes alone
UNPLACED = 0.02
STUDY = """\
title: "An invented study of many terms and people"
edition: "2026"
instruction: "Put together what belongs together."
populations:
  panel: Panel
  makers: Makers
sorts_layout: wide
"""


def write_large_study(folder, terms, people, shown, seed=7):
    """
    Write terms, participants, sorts and, of sorts in parts, the design.

    Every term is shown to as many people as any other, or to one more.

    Parameters
    ----------
    folder : Path
    terms, people : int
    shown : int
        Terms that each person is shown; ``terms`` of whole sorts, which have no design.
    seed : int
    """
    rng = np.random.default_rng([seed, terms, people, shown])
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    names = [f"t{number:04d}" for number in range(terms)]
    ids = [f"p{number:05d}" for number in range(people)]
    minutes = rng.integers(15, 60, people)
    (folder / "study.yaml").write_text(STUDY, encoding="utf-8")
    write(folder / "terms.csv", "term,label", (f"{name},Word {name[1:]}" for name in names))
    rows = (f"{who},{('panel', 'makers')[k % 2]},{minutes[k]}" for k, who in enumerate(ids))
    write(folder / "participants.csv", "participant,population,minutes", rows)
    sets = shown_sets(rng, terms, people, shown)
    sorts = (f"{who},{row_of(rng, k, sets[k], terms)}" for k, who in enumerate(ids))
    write(folder / "sorts.csv", "participant," + ",".join(names), sorts)
    if shown < terms:
        rows = (
            f"{who},{names[term]},{place}"
            for k, who in enumerate(ids)
            for place, term in enumerate(sets[k], 1)
        )
        write(folder / "design.csv", "participant,term,position", rows)


def shown_sets(rng, terms, people, shown):
    """Return the terms shown to each person, people x shown, in the order they lay in."""
    shown_so_far = np.zeros(terms, dtype=int)
    sets = np.empty((people, shown), dtype=int)
    for person in range(people):
        rarest = np.lexsort((rng.random(terms), shown_so_far))[:shown]
        sets[person] = rng.permutation(rarest)
        shown_so_far[rarest] += 1
    return sets


def row_of(rng, person, placed, terms):
    """Return one person's piles as cells of the wide layout."""
    groups = CLASSES if rng.random() < COARSE else SUBCLASSES
    piles = placed % SUBCLASSES % groups
    astray = rng.random(len(placed)) < ASTRAY[person % 2]
    piles[astray] = rng.integers(0, groups, astray.sum())
    cells = [""] * terms
    for term, pile, gone in zip(placed, piles, rng.random(len(placed)) < UNPLACED, strict=True):
        cells[term] = "" if gone else str(pile + 1)
    return ",".join(cells)


def write(path, header, rows):
    """Write a table of lines that need no quotes."""
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
