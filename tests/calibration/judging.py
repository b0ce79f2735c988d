"""What the dossier says of one pair of populations: the only place here that calls the rule."""

import hashlib
import sys
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from felloe.comparison.correlating.corrected import corrected_correlation
from felloe.comparison.pair import Settings, compare_people, evidence_of
from felloe.comparison.verdict import Evidence, Margins, decide
from felloe.ground.groups.ranges import GroupNumbers
from felloe.ground.people.pairs import pair_vectors, person_covariances
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.settings import resolve

ANSWERS = ("pool", "pool_with_notes", "keep_apart", "cannot_tell")
DRAWS = {"permutations": 199, "shape_permutations": 199, "splits": 60, "halves": 50}
RULE = "felloe.comparison.verdict"  # applied anew to what is kept of each run
BEHIND = tuple(  # modules of the library that this one has loaded; packages have no code
    sorted(
        name
        for name, module in sys.modules.items()
        if name.startswith("felloe.") and name != RULE and not hasattr(module, "__path__")
    )
)


@cache
def defaults() -> dict[str, Any]:
    """Return the default settings of a study."""
    return resolve({}, "the default settings")


def agreed_margins() -> Margins:
    """Return the default margins."""
    return Margins(**defaults()["comparison"]["margins"])


def settings_of(n_terms: int) -> Settings:
    """Return the default settings with fewer draws, charts cut as a study would cut them."""
    tiers, compared = defaults()["tiers"], defaults()["comparison"]
    wished = ("classes", "classes_range", "subclasses", "subclasses_range")
    numbers = GroupNumbers(**{key: tiers[key] for key in wished}).common(n_terms)
    bins, method = compared["granularity_bins"], compared["linkage"]
    return Settings(**DRAWS, granularity_bins=bins, linkage=method, numbers=numbers)


def judged(sorts: Sorts, settings: Settings, margins: Margins, streams: Streams) -> dict[str, Any]:
    """
    Ask the dossier about two populations.

    Parameters
    ----------
    sorts : Sorts
    settings : Settings
    margins : Margins
    streams : Streams

    Returns
    -------
    dict
        What JSON can keep. `evidence` is what the rule is asked with; p of the tests, the
        corrected correlation with its interval, the smaller reliability, the terms named.
    """
    found = compare_people(sorts, settings, margins.alpha, streams)
    people, tests = found.people, found.people.tests
    correlation = people.noise.corrected
    return {
        "evidence": asdict(evidence_of(found)),
        "p_unrestricted": tests.unrestricted.p_value,
        "p_adjusted": tests.adjusted.p_value,
        "p_matched": tests.p_matched,
        "p_shape": people.shape.p_value,
        "named": np.flatnonzero(people.named).tolist(),
        "matched": tests.n_matched,
        "corrected": [correlation.low, correlation.corrected, correlation.high],
        "reliability": float(np.min([one.reliability for one in people.noise.reliabilities])),
    }


def answer(record: dict[str, Any], margins: Margins) -> tuple[str, str]:
    """Return the rule's answer and reason for what `judged` returned."""
    said = decide(Evidence(**record["evidence"]), margins)
    return said.verdict, said.reason


def true_correlation(piles: np.ndarray, first: np.ndarray) -> float:
    """Return the corrected correlation of a large sample."""
    covariances = person_covariances(pair_vectors(piles))
    return corrected_correlation(covariances, first).corrected


@cache
def hash_of(*modules: str) -> str:
    """
    Return a hash of the library's code behind `judged`, of this module, and of further modules.

    The rule is left out: it is applied to the evidence that was kept. Comments and docstrings
    count, since telling them from code is not worth a wrong table.
    """
    digest = hashlib.sha256()
    for name in (*BEHIND, __name__, *modules):
        digest.update(Path(sys.modules[name].__file__ or "").read_bytes())
    return digest.hexdigest()


def hash_of_text(text: str) -> str:
    """Return a short hash of a text."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]
