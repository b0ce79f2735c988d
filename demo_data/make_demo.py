"""
Write the four invented demo studies, byte for byte the same on every run.

Usage: ``python demo_data/make_demo.py [folder]``; without a folder the files beside this script
are written. Needs NumPy and the standard library.
"""

import csv
import sys
from pathlib import Path

import numpy as np
from demo_colours import pick_colours
from demo_editions import CAUTIONS, EDITIONS
from demo_former import FORMER, became, former_words
from demo_parts import DESIGN, STUDY, parts_lexicon, write_parts
from demo_sorters import (
    NOWHERE,
    Lexicon,
    class_of,
    draw_slip_weights,
    follow_order,
    leave_unplaced,
    numbered,
    sort_terms,
)

SEED = 3  # of thirty, one that leaves a few terms on which the two populations differ
HERE = Path(__file__).resolve().parent


def main(folder=HERE):
    """
    Write the studies, the planted structures and the list of moved terms.

    Parameters
    ----------
    folder : path
        Where to write; made if missing.
    """
    words, groups = read_source("lexicon.csv"), read_source("groups.csv")
    for edition in EDITIONS:
        write_study(Path(folder), edition, words, groups)
    write_csv(
        Path(folder) / "moved.csv", ["term", "class_2016", "class_2026", "kind"], moved_terms(words)
    )
    oldest = former_words(words, read_source("former_lexicon.csv"))
    write_study(Path(folder), FORMER, oldest, read_source("former_groups.csv"))
    write_former_planted(Path(folder) / f"{FORMER.study}.planted.csv", oldest)
    lexicon = parts_lexicon(read_source("pantry.csv"))
    write_parts(Path(folder), HERE / STUDY / DESIGN, lexicon, write_csv, write_planted)


def read_source(name):
    """Read a hand-written table of ``sources`` as a list of dicts."""
    with (HERE / "sources" / name).open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def write_csv(path, columns, rows):
    """Write one table as RFC 4180 with line feeds; `None` becomes an empty cell."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows(rows)


def words_of(words, year):
    """Return the source rows of one edition, with the ids and labels it used."""
    chosen = []
    for word in words:
        place = word[f"place_{year}"]
        if not place:
            continue
        old = year == 2016 and word["old_term"]
        term, label = (
            (word["old_term"], word["old_label"]) if old else (word["term"], word["label"])
        )
        chosen.append({**word, "term": term, "label": label, "place": place})
    return chosen


def build_lexicon(words, groups, year):
    """Return the planted structure of one edition."""
    ring = tuple(
        f"{group['class']}/{group['subclass']}" for group in groups if group["edition"] == str(year)
    )
    return Lexicon(
        terms=tuple(word["term"] for word in words),
        places={word["term"]: word["place"] for word in words},
        # a second place that the edition does not have leaves the term unambiguous there
        second={word["term"]: word["also"] for word in words if word["also"] in ring},
        contested={word["term"]: word["makers_2026"] for word in words if word["makers_2026"]}
        if year == 2026
        else {},
        kin=read_kin(tuple(word["term"] for word in words)),
        ring=ring,
    )


def read_kin(terms):
    """Read the sets of terms that share something across classes, as far as they are in use."""
    sets = {}
    for row in read_source("kin.csv"):
        if row["term"] in terms:
            sets.setdefault(row["kin"], []).append(row["term"])
    return tuple(tuple(relatives) for relatives in sets.values() if len(relatives) > 1)


def moved_terms(words):
    """List terms of both editions whose class differs: truly moved, or their class was divided."""
    divided = {("taste", "sour"), ("taste", "salt")}
    rows = []
    for word in sorted(words, key=lambda word: word["term"]):
        if not (word["place_2016"] and word["place_2026"]):
            continue
        change = (class_of(word["place_2016"]), class_of(word["place_2026"]))
        if change[0] != change[1]:
            rows.append((word["term"], *change, "divided" if change in divided else "moved"))
    return rows


def write_study(folder, edition, words, groups):
    """Write one study folder and its planted structure beside it."""
    words = words_of(words, edition.year)
    lexicon = build_lexicon(words, groups, edition.year)
    rng = np.random.default_rng([SEED, edition.year])
    study = folder / edition.study
    write_terms(study / "terms.csv", words, edition.year)
    write_sorts(study, draw_submissions(rng, edition, lexicon))
    write_names(study / "names.csv", groups, edition.year)
    if edition.year == 2026:
        write_labels(study / "labels.csv")
        write_crosswalk(study / "crosswalk.csv")
    if edition is not FORMER:  # of which no decision is known
        write_decisions(study / "decisions.csv", edition.year)
    hues = {
        row["class"]: tuple(float(row[part]) for part in ("hue", "saturation", "lightness"))
        for row in (*read_source("hues.csv"), *read_source("former_hues.csv"))
    }
    colours = pick_colours(np.random.default_rng([SEED, edition.year, 1]), lexicon, hues)
    write_csv(study / "colours.csv", ["term", "respondent", "colour"], colours)
    (study / "study.yaml").write_text(study_yaml(edition), encoding="utf-8", newline="\n")
    write_planted(folder / f"{edition.study}.planted.csv", lexicon)


def study_yaml(edition):
    """Return the text of ``study.yaml``."""
    populations = "".join(f"  {group.name}: {group.label}\n" for group in edition.populations)
    cautions = "".join(f'  - "{text}"\n' for text in CAUTIONS)
    return (
        f"# Invented data; see demo_data/README.md.\n"
        f'title: "{edition.title}"\nedition: "{edition.year}"\n'
        f'instruction: "{edition.instruction}"\n'
        f"populations:\n{populations}sorts_layout: long\ncautions:\n{cautions}"
    )


def draw_submissions(rng, edition, lexicon):
    """
    Draw every submission of a study.

    Returns
    -------
    list of dict
        ``participant``, ``population``, ``minutes``, ``order`` (terms as shown) and ``sort``,
        by participant. Ids are dealt at random, so that they tell neither population nor date.
    """
    weights = draw_slip_weights(rng, lexicon)
    received = []
    for population in edition.populations:
        for _ in range(population.size):
            sort = sort_terms(rng, lexicon, population, weights)
            received.append(submission(rng, lexicon, population.name, sort))
    careful = len(received)
    chosen = rng.choice(careful, size=len(edition.incomplete) + edition.duplicated, replace=False)
    for index, share in zip(chosen, edition.incomplete, strict=False):
        received[index]["sort"] = leave_unplaced(rng, received[index]["sort"], share)
    for index in chosen[len(edition.incomplete) :]:
        received.append(dict(received[index]))
    for way in edition.careless:
        received.append(careless_submission(rng, lexicon, edition.populations[-1].name, way))
    numbers = rng.permutation(len(received)) + 1
    for number, one in zip(numbers, received, strict=True):
        one["participant"] = f"p{number:03d}"
    return sorted(received, key=lambda one: one["participant"])


def submission(rng, lexicon, population, sort):
    """Give a sort its random order of presentation and the minutes it took."""
    order = [lexicon.terms[i] for i in rng.permutation(len(lexicon.terms))]
    minutes = 14 + 0.7 * len(set(sort.values())) + rng.gamma(4, 2.6)
    return {
        "population": population,
        "order": order,
        "sort": sort,
        "minutes": int(np.clip(round(minutes), 15, 60)),
    }


def careless_submission(rng, lexicon, population, way):
    """Draw the quick submission of somebody who did not read the cards."""
    one = submission(rng, lexicon, population, dict.fromkeys(lexicon.terms, 0))
    if way == "all_apart":
        one["sort"] = {term: i for i, term in enumerate(lexicon.terms)}
    elif way == "follows_order":
        one["sort"] = follow_order(rng, one["order"])
    return {**one, "minutes": int(rng.integers(3, 7))}


def write_terms(path, words, year):
    """Write the lexicon of an edition; the second one also says which id a term had before."""
    columns = ["term", "label", "definition", "reference", "caution"]
    if year == 2026:
        columns.append("renamed_from")
    rows = [
        [word["old_term"] if column == "renamed_from" else word[column] for column in columns]
        for word in sorted(words, key=lambda word: word["term"])
    ]
    write_csv(path, columns, rows)


def write_sorts(study, submissions):
    """Write the register and the sorts, piles numbered in the order in which they were begun."""
    write_csv(
        study / "participants.csv",
        ["participant", "population", "minutes"],
        [[one["participant"], one["population"], one["minutes"]] for one in submissions],
    )
    rows = []
    for one in submissions:
        piles = numbered(one["sort"], one["order"])
        for position, (term, number) in enumerate(piles.items(), start=1):
            rows.append([one["participant"], term, number, position])
    write_csv(study / "sorts.csv", ["participant", "term", "pile", "position"], rows)


def write_names(path, groups, year):
    """Write the names of classes, then of subclasses; a group without an anchor has no name yet."""
    rows = []
    for tier in ("class", "subclass"):
        for group in groups:
            row = (tier, *(group[f"{tier}_{part}"] for part in ("anchor", "name", "absorbs")))
            if group["edition"] == str(year) and row[1] and row not in rows:
                rows.append(row)
    write_csv(path, ["tier", "anchor", "name", "absorbs"], rows)


def write_labels(path):
    """Write what terms and groups are called in German, as far as it was translated."""
    rows = read_source("german.csv")
    tiers = ("class", "subclass", "term")
    rows.sort(key=lambda row: (tiers.index(row["tier"]), row["id"]))
    write_csv(path, list(rows[0]), [row.values() for row in rows])


def write_crosswalk(path):
    """Write what became of the words that the second edition renamed or dropped, and why."""
    rows = read_source("crosswalk.csv")
    # the edition of 2006 may be held against 2026 too, and lacks some of these words
    former = [[*row.values(), "brine-2016"] for row in rows]
    write_csv(path, [*rows[0], "older_study"], former)


def write_decisions(path, year):
    """Write the committee's decisions; the first edition did not record who took them."""
    columns = ["term", "beside", "reason", "decided_on"]
    if year == 2026:
        columns.append("decided_by")
    rows = [
        [row[column] for column in columns]
        for row in read_source("decisions.csv")
        if row["edition"] == str(year)
    ]
    write_csv(path, columns, rows)


def write_planted(path, lexicon):
    """Write what the generator planted, for whoever asks how much of it is found again."""
    rows = []
    for term in sorted(lexicon.terms):
        place = lexicon.places[term]
        home = ("", "") if place == NOWHERE else (class_of(place), place.replace("/", "-"))
        second, contested = lexicon.second.get(term, ""), lexicon.contested.get(term, "")
        rows.append((term, *home, second.replace("/", "-"), contested.replace("/", "-")))
    columns = ["term", "class", "subclass", "second_subclass", "makers_subclass"]
    write_csv(path, columns, rows)


def write_former_planted(path, words):
    """Write beside the planted structure of 2006 what became of each term in 2016."""
    rows = []
    for word in sorted(words, key=lambda word: word["term"]):
        place = word[f"place_{FORMER.year}"]
        home = (class_of(place), place.replace("/", "-"))
        rows.append((word["term"], *home, "", "", *became(word)))
    columns = ["term", "class", "subclass", "second_subclass", "makers_subclass"]
    write_csv(path, [*columns, "class_2016", "kind"], rows)


if __name__ == "__main__":
    main(*sys.argv[1:2])
