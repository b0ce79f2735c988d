"""The published distance matrices that reference values were computed from, by data set."""

import csv

import numpy as np
from published import REFERENCES

KINSHIP = {
    "kin_women_single": "women_single",
    "kin_men_single": "men_single",
    "kin_women_first": "women_first_of_two",
    "kin_men_first": "men_first_of_two",
}
DATASETS = (*KINSHIP, "ekman", "kin_textbook_matrix", "wallpaper_P31M")
# The names that R gives to the same linkages; its ward.D2 takes distances as they are.
R_NAMES = {"average": "average", "complete": "complete", "single": "single", "ward": "ward.D2"}


def distances(reference, dataset):
    """Return the distances and the items of one data set."""
    if dataset in KINSHIP:
        counts, people, terms = reference.source_counts(KINSHIP[dataset])
        return 1.0 - counts / people, terms
    if dataset == "ekman":
        rows = reference.rows("data/ekman_14_colours_similarity.csv")
        items = [row["wavelength_nm"] for row in rows]
        similar = np.array([[float(row[f"nm{item}"]) for item in items] for row in rows])
        return 1.0 - similar, items
    if dataset == "kin_textbook_matrix":
        name = "data/kinship_mean_apart_textbook_matrix.csv"
        items = sorted(set(reference.rows(name)[0]) - {"term"})
        return reference.square(name, items), items
    name = "values/wallpaper_P31M_same_pile_counts.csv"
    items = sorted(set(reference.rows(name)[0]) - {"item"})
    return 1.0 - reference.square(name, items) / 33.0, items


def for_build(D, method):
    """Return what `build_tree` needs so that Ward's method works on `D` itself, as R's does."""
    return D**2 if method == "ward" else D


def kinship_distances(source):
    """Return D of one of the six sources of kinship counts."""
    path = REFERENCES / "data" / "kinship_six_sources_counts.csv"
    with open(path, encoding="utf-8") as stream:
        rows = [row for row in csv.DictReader(stream) if row["source"] == source]
    terms = sorted({row["term_a"] for row in rows} | {row["term_b"] for row in rows})
    apart = np.zeros((len(terms), len(terms)))
    for row in rows:
        i, j = terms.index(row["term_a"]), terms.index(row["term_b"])
        apart[i, j] = apart[j, i] = round(1 - int(row["same_pile"]) / int(row["people"]), 12)
    return apart
