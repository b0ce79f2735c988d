"""What was chosen for the tiers, by which rule: `tiers/choice.json`."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.tiers.cuts import Tiers
from felloe.tiers.placement import DOUBTFUL, FIRM, UNDECIDED, Placement, StatusRule


def choice_record(
    chosen: Mapping[str, Any],
    tiers: Tiers,
    rule: StatusRule,
    placed: Placement,
    branch_cuts: Sequence[Mapping[str, Any]],
    delta: tuple[float, float | None],
) -> dict[str, Any]:
    """
    Describe what was chosen.

    Parameters
    ----------
    chosen : mapping
        `clustering/bootstrap.json`.
    tiers : Tiers
    rule : StatusRule
    placed : Placement
    branch_cuts : sequence of mappings
        What was asked for, and whether it was applied.
    delta : (float, float or None)
        Mean over terms of how little each fits a tree, 0 to 1; the largest standard error of a
        term's, None where every set of four terms was looked at.

    Returns
    -------
    dict
    """
    return {
        "classes": chosen["classes"],
        "subclasses": {
            **chosen["subclasses"],
            "kept": tiers.subclasses.n_groups,
            "merged_upward": list(tiers.dissolved),
        },
        "cut_heights": chosen["cut_heights"],
        "chance_line": chosen["chance_line"],
        "mojena_number": chosen["mojena_number"],
        "delta_mean": delta[0],
        **({} if delta[1] is None else {"delta_error_at_most": delta[1]}),
        "status_rule": {
            "firm_probability": rule.firm,
            "undecided_probability": rule.undecided,
            "chance_similarity": rule.chance,
            "tie_share": rule.tie_share,
        },
        "status": {name: placed.status.count(name) for name in (FIRM, DOUBTFUL, UNDECIDED)},
        "branch_cuts": list(branch_cuts),
    }
