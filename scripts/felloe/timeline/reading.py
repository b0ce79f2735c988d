"""Reading the editions of a timeline, and the comparison of each with the next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe.clustering.tables import CLASS_SHARES
from felloe.editions.correspondence import Bounds
from felloe.editions.fates import class_probability
from felloe.editions.tables import TERMS
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import Row
from felloe.tiers.tables import DATA_ONLY, PUBLISHED
from felloe.timeline.follow import Between, Stop
from felloe.timeline.paths import NEW, RETIRED, Step
from felloe.timeline.rows import Wording
from felloe.validation.tables import TERMS as LEXICON


@dataclass(frozen=True)
class Read:
    """
    An edition as its study's results tell it.

    Attributes
    ----------
    stop : Stop
    labels, class_names : dict of str to str
    about : dict
        Its `validation/study.json`.
    """

    stop: Stop
    labels: Mapping[str, str]
    class_names: Mapping[str, str]
    about: Mapping[str, Any]

    def wording(self, lines: Mapping[str, int]) -> Wording:
        """Return what it calls its terms and classes, with the lines of these."""
        return Wording(self.labels, self.class_names, lines)


def read_stop(
    study: str,
    about: str | Path,
    terms: str | Path,
    tiers: tuple[str | Path, str | Path],
    shares: str | Path,
) -> Read:
    """
    Read an edition.

    Parameters
    ----------
    study : str
    about, terms : path
        `validation/study.json` and `validation/terms.csv`.
    tiers : (path, path)
        `tiers/published.csv` and `tiers/data_only.csv`.
    shares : path
        `clustering/class_shares.csv`.
    """
    published, data_only = PUBLISHED.read(tiers[0]), DATA_ONLY.read(tiers[1])
    of_terms: dict[str, dict[str, float]] = {}
    for row in CLASS_SHARES.read(shares):
        of_terms.setdefault(row["term"], {})[row["class"]] = row["share"]
    stop = Stop(
        study,
        {row["term"]: row["class"] for row in published},
        {row["term"]: class_probability(row) for row in published},
        of_terms,
        {row["term"]: row["class"] for row in data_only},
    )
    labels = {row["term"]: row["label"] for row in LEXICON.read(terms)}
    return Read(
        stop, labels, {row["class"]: row["class_name"] for row in published}, read_json(about)
    )


def read_between(terms: str | Path, record: Mapping[str, Any]) -> Between:
    """Read the comparison of two neighbouring editions: its table, and its `comparison.json`."""
    bounds = record["migrations"]
    return Between(
        tuple(step for row in TERMS.read(terms) for step in steps_of(row)),
        {(pair["older"], pair["newer"]): pair["relation"] for pair in record["classes"]},
        Bounds(bounds["bound_robust"], bounds["bound_possible"], record["correspondence"]["level"]),
        record["correspondence"]["found"],
    )


def steps_of(row: Row) -> Sequence[Step]:
    """Return what a row of the editions' table says became of its older terms."""
    if row["change"] in (NEW, RETIRED):
        return []
    reason = row.get("reason") or ""
    formers = row["term_older"].split(";")
    return [Step(older, row["term"], row["change"], reason) for older in formers]
