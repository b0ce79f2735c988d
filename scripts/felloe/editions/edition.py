"""What a study's results tell of one edition, and two editions cut down to their common terms."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from felloe.clustering.tree_similarity import joining_heights
from felloe.editions.comparison import FEWEST_TERMS, Edition
from felloe.errors import Fault, StudyError, nearest
from felloe.ground.records import read_json
from felloe.ground.tables import number, read_square, read_table
from felloe.validation.tables import read_analysed

CHARTS = ("published", "data_only")
TIERS = ("class", "subclass")


@dataclass(frozen=True)
class EditionFiles:
    """
    One edition as its study's results tell it.

    Attributes
    ----------
    study : str
    about : dict
        Title, edition, instruction, populations.
    terms : dict of str to dict
        Term to its row of the canonical table of terms.
    charts : dict of str to dict of str to dict
        Chart, then term, to its row of tiers.
    sorts : Sorts
    apart, heights : (n_terms, n_terms) array of float
        Over the terms in sorted order.
    order : tuple of str
        Terms around the published circle.
    """

    study: str
    about: dict
    terms: dict
    charts: dict
    sorts: object
    apart: np.ndarray
    heights: np.ndarray
    order: tuple

    def cut_down(self, terms, names):
        """
        Return the edition on some of its terms.

        Parameters
        ----------
        terms : sequence of str
            As this study calls them.
        names : sequence of str
            As both editions are to call them.

        Returns
        -------
        Edition
        """
        known = sorted(self.terms)
        places = [known.index(term) for term in terms]
        name_of = dict(zip(terms, names, strict=True))
        partitions = {
            chart: {tier: tuple(rows[term][tier] for term in terms) for tier in TIERS}
            for chart, rows in self.charts.items()
        }
        square = np.ix_(places, places)
        return Edition(
            terms=tuple(names),
            piles=self.sorts.piles[:, places],
            apart=self.apart[square],
            heights=self.heights[square],
            partitions=partitions,
            order=tuple(name_of[term] for term in self.order if term in name_of),
        )


def read_edition(paths, study):
    """
    Read the results of a study that an edition is compared by.

    Parameters
    ----------
    paths : sequence of str or Path
        Result files of the study, found by their names.
    study : str

    Returns
    -------
    EditionFiles
    """
    named = {Path(path).name: path for path in paths}
    terms = {row["term"]: row for row in read_table(named["terms.csv"])}
    columns = ("left", "right", "height", "size")
    merges = [[number(row[name]) for name in columns] for row in read_table(named["linkage.csv"])]
    return EditionFiles(
        study=study,
        about=read_json(named["study.json"]),
        terms=terms,
        charts={
            chart: {row["term"]: row for row in read_table(named[f"{chart}.csv"])}
            for chart in CHARTS
        },
        sorts=read_analysed(named["analysed.csv"]),
        apart=read_square(named["distances.csv"])[1],
        heights=joining_heights(np.array(merges)),
        order=tuple(row["term"] for row in read_table(named["order.csv"])),
    )


def common_terms(older, newer):
    """
    Match the terms of two editions by their ids and by what was declared as renamed.

    Parameters
    ----------
    older, newer : EditionFiles

    Returns
    -------
    list of (str, str)
        The older and the newer id, sorted by the newer.

    Raises
    ------
    StudyError
        If a term is said to be renamed from one that the older edition does not know, that is
        still there, or that another term claims too; or if too few terms are common.
    """
    faults, pairs = [], {term: term for term in newer.terms if term in older.terms}
    for term, row in newer.terms.items():
        former = row.get("renamed_from") or ""
        if not former:
            continue
        problem = ""
        if former not in older.terms:
            close = nearest(former, older.terms)
            hint = f"; did you mean '{close}'?" if close else ""
            problem = f"is no term of '{older.study}'{hint}"
        elif former in pairs.values() and pairs.get(term) != former:
            problem = f"is already the former id of another term of '{newer.study}'"
        if problem:
            remedy = "Name the term's id in the older edition, or leave the cell empty."
            faults.append(
                Fault("terms.csv", 0, "renamed_from", former, f"{problem} (term '{term}')", remedy)
            )
        else:
            pairs[term] = former
    if faults:
        raise StudyError(faults)
    if len(pairs) < FEWEST_TERMS:
        raise StudyError(
            f"The editions '{older.study}' and '{newer.study}' share {len(pairs)} term(s); a "
            f"comparison needs {FEWEST_TERMS}. Declare renamed terms in the column renamed_from "
            "of the newer terms.csv, or take the pair out of `editions`."
        )
    return [(pairs[term], term) for term in sorted(pairs)]
