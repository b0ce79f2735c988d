"""What is said of the tiers, from the codes and numbers of their tables and of `choice.json`."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row

GROUP_RULE = (
    "A class below the minimum size or support keeps its place and is marked independent; a "
    "subclass below them joins what the tree puts beside it within its class; the support of a "
    "single term is not measured"
)
REASONS = {
    "below_undecided": "home-class probability below {undecided_probability:g}",
    "chance": "no more similar to its class than chance",
    "below_firm": "home-class probability below {firm_probability:g}",
    "weak_class": "its class is too small or not supported",
    "ties": "its class depends on how ties are broken",
}
VOID = {
    "": "",
    "term_gone": "the term is no longer in the study",
    "beside_gone": "the term to stand beside is no longer in the study",
    "already_together": "the data put the two terms in one subclass already",
}
SIDES = {"home": "here", "rival": "the rival", "neither": "neither"}
NO_RIVAL = "\u2013 (spread over several classes or none)"


def status_rule(rule: Mapping[str, Any]) -> str:
    """Say how a term is marked; `status_rule` of `choice.json`."""
    return (
        f"undecided: home-class probability below {rule['undecided_probability']:g}, or mean "
        "similarity to the other terms of the class below the chance level "
        f"{rule['chance_similarity']:.3f}; firm: home-class probability of at least "
        f"{rule['firm_probability']:g}, in a class that holds, where the order in which tied "
        f"distances are met moves the term in less than {rule['tie_share']:g} of the orders; "
        "doubtful: all others"
    )


def reason(codes: str, rule: Mapping[str, Any]) -> str:
    """Say why a term is not firm: `reason` of `evidence.csv`, under `status_rule`."""
    return "; ".join(REASONS[code].format(**rule) for code in codes.split(";") if code)


def undecided(rows: Iterable[Row], rule: Mapping[str, Any]) -> list[Row]:
    """Return the rows of `undecided.csv` with reasons, nearest terms and populations in words."""
    return [
        {
            **row,
            "reason": reason(row["reason"], rule),
            "nearest_terms": nearest(row),
            "populations": populations(row),
        }
        for row in rows
    ]


def nearest(row: Row) -> str:
    """Say which terms are most often put together with one, and by how many."""
    return "; ".join(
        f"{term} ({row[f'nearest_share_{place}']:.2f})"
        for place, term in enumerate(row["nearest_terms"], 1)
    )


def populations(row: Row) -> str:
    """Say what each population alone leans to, by how many of it put the terms together."""
    said = []
    for one in row["populations"].split(";"):
        name, side = one.split(":")
        shares = (share(row[f"{place}:{name}"]) for place in ("home", "rival"))
        said.append(
            "{}: {} (together here {}, with the rival {})".format(name, SIDES[side], *shares)
        )
    return "; ".join(said)


def share(value: float) -> str:
    """Return a share with two decimals, a dash where there is none."""
    return f"{value:.2f}" if value == value else "-"


def decisions(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of `decisions.csv` with what became of them in words."""
    return [{**row, "note": VOID[row["note"]]} for row in rows]
