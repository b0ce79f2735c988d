"""The third invented study: words of several trades, so many that everybody sorts a part."""

import csv
import shutil
from dataclasses import replace

import numpy as np
from demo_sorters import (
    NOWHERE,
    Lexicon,
    Population,
    draw_slip_weights,
    follow_order,
    leave_unplaced,
    numbered,
    sort_terms,
)

STUDY = "pantry-2026"
DESIGN = "design.csv"
SEED = (1, 240)
WAYS = ("faint", "bright", "warm", "cool", "dry", "damp", "sweet", "old")
STRAYS = ("cool-quince", "warm-nettle")  # planted nowhere
UNPLACED = 0.1  # share of the terms shown that one participant leaves aside
POPULATIONS = (
    Population("panel", "Trained panel", 48, 17, 0.34, 0.15, 0.0),
    Population("makers", "Makers of the guild and its neighbour trades", 96, 12, 0.45, 0.20, 0.0),
)
TEXT = """\
# Invented data; see demo_data/README.md.
title: "Words for what is kept in a pantry, sorted in parts (invented data)"
edition: "2026"
instruction: "Put together what belongs together when you taste. Make as many piles as you need; \
a pile may hold a single card. Leave a card aside if you do not know the word. There is no right \
answer."
populations:
{populations}sorts_layout: wide
"""


def parts_lexicon(things):
    """
    Return the planted structure: every thing in eight ways, a few of them nowhere.

    Parameters
    ----------
    things : list of dict
        ``class``, ``subclass``, ``thing``, in planted order around the circle.
    """
    places = {
        f"{way}-{row['thing']}": f"{row['class']}/{row['subclass']}"
        for row in things
        for way in WAYS
    }
    ring = tuple(dict.fromkeys(places.values()))
    places |= dict.fromkeys(STRAYS, NOWHERE)
    return Lexicon(tuple(places), places, {}, {}, (), ring)


def people_of(rng):
    """Return the population of each participant, by ids that do not tell it."""
    names = [population for population in POPULATIONS for _ in range(population.size)]
    dealt = rng.permutation(len(names))
    return {f"p{number:03d}": names[place] for number, place in enumerate(dealt, start=1)}


def write_parts(folder, issued, lexicon, write_csv, write_planted):
    """
    Write the study, its sorts only where a design was issued.

    Parameters
    ----------
    folder : Path
        Where the studies are written.
    issued : Path
        The design as ``plan --write-design`` once wrote it; it is copied, never drawn again.
    lexicon : Lexicon
    write_csv, write_planted : callable
        Of ``make_demo``.
    """
    study, rng = folder / STUDY, np.random.default_rng(SEED)
    people = people_of(rng)
    terms = sorted(lexicon.terms)
    words = [(term, term.replace("-", " ").capitalize()) for term in terms]
    minutes = [int(np.clip(round(12 + rng.gamma(4, 2.6)), 13, 60)) for _ in people]
    write_csv(study / "terms.csv", ["term", "label"], words)
    write_csv(
        study / "participants.csv",
        ["participant", "population", "minutes"],
        [
            (person, own.name, time)
            for (person, own), time in zip(people.items(), minutes, strict=True)
        ],
    )
    labels = "".join(f"  {own.name}: {own.label}\n" for own in POPULATIONS)
    (study / "study.yaml").write_text(
        TEXT.format(populations=labels), encoding="utf-8", newline="\n"
    )
    write_planted(folder / f"{STUDY}.planted.csv", lexicon)
    if not issued.is_file():
        print(f"Issue {STUDY}/{DESIGN} with `plan {STUDY} --write-design`, then call this again.")
        return
    if issued.resolve() != (study / DESIGN).resolve():
        shutil.copyfile(issued, study / DESIGN)
    sorts = sorts_of(rng, lexicon, people, shown_to(study / DESIGN))
    rows = [[person, *map(own.get, terms)] for person, own in sorts.items()]
    write_csv(study / "sorts.csv", ["participant", *terms], rows)


def shown_to(path):
    """Return the terms that each person was shown, in the order of presentation."""
    shown = {}
    with path.open(newline="", encoding="utf-8") as stream:
        for row in csv.DictReader(stream):
            shown.setdefault(row["participant"], []).append((int(row["position"]), row["term"]))
    return {person: [term for _, term in sorted(own)] for person, own in shown.items()}


def sorts_of(rng, lexicon, people, shown):
    """Return the pile of each term shown, by participant; one is careless, one leaves terms."""
    weights = draw_slip_weights(rng, lexicon)
    sorts = {}
    for person, population in people.items():
        seen = tuple(sorted(shown[person], key=lexicon.terms.index))
        sorts[person] = sort_terms(rng, replace(lexicon, terms=seen), population, weights)
    makers = [person for person, own in people.items() if own.name == "makers"]
    careless, brief = rng.choice(makers, size=2, replace=False)
    sorts[careless] = follow_order(rng, shown[careless])
    sorts[brief] = leave_unplaced(rng, sorts[brief], UNPLACED)
    return {person: numbered(own, shown[person]) for person, own in sorts.items()}
