"""Invented people who were shown a part of the lexicon each, and studies of them."""

import numpy as np
from felloe.ground.people.sorts import UNPLACED
from small_study import FEW
from study_folder import write_rows

N_TERMS, N_SHOWN, N_PEOPLE, N_CLASSES = 40, 16, 30, 4
STUDY = "parts"
SETTINGS = (
    """
studies: {parts: parts}
editions: []
tiers: {classes: 4, subclasses: 8}
"""
    + FEW
)


def balanced_shown(rng, n_people, n_terms, n_shown):
    """
    Deal terms to people so that every pair is seen by nearly the same number of them.

    Each person gets, one after the other, the term that the fewest have seen beside those that the
    person already has; the drawing of lots among equals is random. It is for tests only.
    """
    seen, shown = np.zeros((n_terms, n_terms)), np.zeros((n_people, n_terms), dtype=bool)
    for row in shown:
        for _ in range(n_shown):
            cost = seen[:, row].sum(axis=1) + 0.5 * np.diagonal(seen) + rng.random(n_terms) * 0.9
            row[np.argmin(np.where(row, np.inf, cost))] = True
        seen += np.outer(row, row)
    return shown


def lumpers_and_splitters(rng, n_people, n_terms, n_classes=10, within=3, astray=0.3):
    """
    Sort as half of the people do by classes, half by subclasses, some terms astray.

    A term that goes astray is put into any pile of the person's own at random.

    Returns
    -------
    piles : (n_people, n_terms) array of int
    classes, subclasses : (n_terms,) array of int
        The truth.
    """
    subclasses = np.arange(n_terms) * n_classes * within // n_terms
    classes = subclasses // within
    lumper = rng.random(n_people) < 0.5
    piles = np.where(lumper[:, None], classes, subclasses)
    numbers = np.where(lumper, n_classes, n_classes * within)
    lost = rng.random(piles.shape) < astray
    anywhere = np.floor(rng.random(piles.shape) * numbers[:, None]).astype(int)
    return np.where(lost, anywhere, piles), classes, subclasses


def as_shown(piles, shown):
    """Return piles of what was shown; what was not is as if not placed."""
    return np.where(shown, piles, UNPLACED)


def example(seed=0, n_people=N_PEOPLE, n_shown=N_SHOWN):
    """Return the piles of two populations of `n_people`, and who was shown what."""
    rng = np.random.default_rng(seed)
    piles, *_ = lumpers_and_splitters(rng, 2 * n_people, N_TERMS, N_CLASSES, 2, 0.2)
    shown = [balanced_shown(rng, n_people, N_TERMS, n_shown) for _ in range(2)]
    return piles, np.vstack(shown)


def term_ids(n_terms=N_TERMS):
    """Return the ids of the terms."""
    return [f"t{at:03d}" for at in range(n_terms)]


def populations_of(n_people=N_PEOPLE):
    """Return each participant's population, by participant."""
    return {f"{name[0]}{at:03d}": name for name in ("makers", "panel") for at in range(n_people)}


def write_words(folder, layout="long"):
    """Write what every study has but sorts and design."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "study.yaml").write_text(
        "title: Sorted in parts (invented data)\nedition: 2031\n"
        "instruction: Put together what belongs together.\n"
        f"sorts_layout: {layout}\n"
        "populations:\n  makers: Makers\n  panel: Trained panel\n",
        encoding="utf-8",
    )
    words = [[term, f"Word {term}"] for term in term_ids()]
    write_rows(folder / "terms.csv", [["term", "label"], *words])
    people = [[person, name] for person, name in populations_of().items()]
    write_rows(folder / "participants.csv", [["participant", "population"], *people])


def design_rows(shown):
    """Return the rows of `design.csv`; terms that lie beside one another are not seen so."""
    rows = [["participant", "term", "position"]]
    for person, row in zip(populations_of(len(shown) // 2), shown, strict=True):
        seen = [term for term, there in zip(term_ids(), row, strict=True) if there]
        rows += [[person, term, 1 + at * 7 % len(seen)] for at, term in enumerate(seen)]
    return rows


def long_rows(piles, shown):
    """Return the rows of `sorts.csv` in the long layout."""
    rows = [["participant", "term", "pile"]]
    for person, own, seen in zip(populations_of(len(piles) // 2), piles, shown, strict=True):
        rows += [
            [person, term, int(pile) + 1]
            for term, pile, there in zip(term_ids(), own, seen, strict=True)
            if there
        ]
    return rows


def wide_rows(piles, shown):
    """Return the rows of `sorts.csv` in the wide layout."""
    rows = [["participant", *term_ids()]]
    for person, own, seen in zip(populations_of(len(piles) // 2), piles, shown, strict=True):
        cells = [int(pile) + 1 if there else "" for pile, there in zip(own, seen, strict=True)]
        rows.append([person, *cells])
    return rows


def write_partial_study(folder, piles, shown, layout="long"):
    """Write a study whose participants were shown a part of the lexicon each."""
    write_words(folder, layout)
    write_rows(folder / "design.csv", design_rows(shown))
    rows = long_rows if layout == "long" else wide_rows
    write_rows(folder / "sorts.csv", rows(piles, shown))
