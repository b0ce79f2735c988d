"""Three small editions with a planted history of terms and classes, to be run by all rules."""

import numpy as np
from small_study import FEW
from study_folder import write_rows

CLASSES = {  # every edition has four; what is planted stands beside the tests
    "w-2006": {"a": "a1 a2 a3 a4 mover rover r-old", "b": "b1 b2 b3 b4 b5 leek",
               "c": "c1 c2 c3 c4 c5 c6 once", "e": "e1 e2 e3 e4"},
    "w-2016": {"a": "a1 a2 a3 a4 r-mid", "b": "b1 b2 b3 b4 b5 mover rover",
               "c": "c1 c2 c3 c4 c5 c6 e1 e2 e3 e4", "f": "f1 f2 f3 f4"},
    "w-2026": {"a": "a1 a2 a3 a4 rover r-mid", "b": "b1 b2 b3 b4 b5 mover leek",
               "c": "c1 c2 c3 c4 c5 c6", "d": "e1 e2 e3 e4"},
}  # fmt: skip
RENAMED = {"w-2016": {"r-mid": "r-old"}}
PEOPLE = 20
ASTRAY = 0.05  # of all placements
SETTINGS = (
    """
studies: {w-2006: w-2006, w-2016: w-2016, w-2026: w-2026}
editions: [[w-2006, w-2016, w-2026], [w-2006, w-2026]]
tiers: {classes: 4, subclasses: 8}
"""
    + FEW
)


def home_of(study):
    """Return the planted class of each term."""
    return {term: name for name, terms in CLASSES[study].items() for term in terms.split()}


def write_study(folder, study):
    """Write one edition: people who sort by its classes, with a little noise."""
    folder.mkdir(parents=True)
    (folder / "study.yaml").write_text(
        f"title: Words of the workshop (invented data)\nedition: {study[-4:]}\n"
        "instruction: Put together what belongs together.\n"
        "populations: {panel: Panel, makers: Makers}\n",
        encoding="utf-8",
    )
    home = home_of(study)
    columns = ["term", "label", "definition", "reference", "caution", "renamed_from"]
    words = [
        [term, term.title(), "A word.", "A piece.", "None.", RENAMED.get(study, {}).get(term, "")]
        for term in sorted(home)
    ]
    write_rows(folder / "terms.csv", [columns, *words])
    people = [(f"p{at:02d}", "makers" if at % 2 else "panel") for at in range(PEOPLE)]
    write_rows(folder / "participants.csv", [["participant", "population"], *map(list, people)])
    rng = np.random.default_rng(int(study[-4:]))
    names, rows = list(CLASSES[study]), [["participant", "term", "pile"]]
    for person, _ in people:
        for term in sorted(home):
            strays = rng.random() < ASTRAY
            pile = rng.integers(len(names)) if strays else names.index(home[term])
            rows.append([person, term, int(pile) + 1])
    write_rows(folder / "sorts.csv", rows)


def write_three(folder):
    """Write the three editions and their settings into a working folder."""
    for study in CLASSES:
        write_study(folder / study, study)
    (folder / "three.yaml").write_text(SETTINGS, encoding="utf-8")
