"""Published data and reference values, as the tests need them."""

import csv
from functools import cache
from pathlib import Path

import numpy as np

REFERENCES = Path(__file__).parent / "references"


class Reference:
    """Reads `tests/references/`; SOURCES.md there says where each number comes from."""

    folder = REFERENCES

    @staticmethod
    @cache
    def rows(name):
        with open(REFERENCES / name, encoding="utf-8", newline="") as stream:
            return list(csv.DictReader(stream))

    def square(self, name, terms):
        """Return a square table in the order of `terms`."""
        rows = {row[next(iter(row))]: row for row in self.rows(name)}
        return np.array([[float(rows[a][b]) for b in terms] for a in terms])

    def kinship_piles(self):
        """Return the 85 women's sorts, (85, 15), and the terms in sorted order."""
        rows = self.rows("data/kinship_women_single_sorts_wide.csv")
        terms = sorted(set(rows[0]) - {"participant"})
        return np.array([[int(row[term]) for term in terms] for row in rows]), terms

    def value(self, dataset, quantity):
        """Return one value of `values/reference_values.csv`."""
        for row in self.rows("values/reference_values.csv"):
            if (row["dataset"], row["quantity"]) == (dataset, quantity):
                return float(row["value"])
        raise KeyError((dataset, quantity))

    def source_counts(self, source):
        """Return (counts, people, terms) of one of the six groups of the kinship experiment."""
        rows = [
            row
            for row in self.rows("data/kinship_six_sources_counts.csv")
            if row["source"] == source
        ]
        terms = sorted({row["term_a"] for row in rows} | {row["term_b"] for row in rows})
        people = int(rows[0]["people"])
        counts = np.full((len(terms), len(terms)), people)
        for row in rows:
            i, j = terms.index(row["term_a"]), terms.index(row["term_b"])
            counts[i, j] = counts[j, i] = int(row["same_pile"])
        return counts, people, terms
