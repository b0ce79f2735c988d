"""The records of the map and of the circular order: codes and numbers; `words` says them."""

from collections.abc import Iterable, Mapping
from typing import Any

from felloe.circle.agreement import CircularAgreement
from felloe.circle.map.disparities import ORDINAL
from felloe.circle.map.map_evidence import BestMap, RestartAgreement
from felloe.circle.ring.adjacency import Adjacency
from felloe.circle.ring.gaps import CLASS, SUBCLASS
from felloe.circle.ring.layout import Layout
from felloe.circle.ring.order import DrawnRing
from felloe.circle.ring.pose import Pose
from felloe.circle.settings import MOSTLY, NO_BETTER, CircleSettings, MapSettings
from felloe.ground.arrays import Floats
from felloe.ground.permutation import reached_p
from felloe.ground.rounding import DISTANCE_DECIMALS, PRODUCT_DECIMALS


def length_record(ring: DrawnRing) -> dict[str, Any]:
    """Describe the order of one chart: its length beside what it is to be compared with."""
    evidence = ring.evidence
    best = evidence.best
    price = best.length / evidence.free - 1.0 if evidence.free else 0.0
    return {
        "n_terms": len(ring.outer.terms),
        "length": best.length,
        "length_dendrogram_order": evidence.dendrogram,
        "length_worst": evidence.worst,
        "length_random_mean": evidence.random_mean,
        "length_random_sd": evidence.random_sd,
        "length_free_tour": evidence.free,
        "price_of_the_tree": round(price, DISTANCE_DECIMALS),
        "n_optima": best.n_optima,
        "n_optima_exact": best.counted_exactly,
        "groups_that_keep_their_merges": ring.refined,
    }


def gap_record(layout: Layout, budget: float) -> dict[str, Any]:
    """Describe the gaps; `budget` is what was asked for, degrees."""
    rule, gaps = layout.rule, layout.ring.gaps
    widths = {}
    for name, grade in (("subclass_deg", SUBCLASS), ("class_deg", CLASS)):
        of_grade = gaps[layout.grades == grade]
        widths[name] = [float(of_grade.min()), float(of_grade.max())] if len(of_grade) else None
    return {
        "budget_deg": float(gaps.sum()),
        "budget_asked_deg": budget,
        "range": widths,
        "heights": {
            "within_subclass": rule.within_subclass,
            "within_class": rule.within_class,
            "top": rule.top,
        },
        "class_gap": rule.class_gap,
    }


def pose_record(pose: Pose, older: str | None) -> dict[str, Any]:
    """Describe which way up the circle is drawn; against an older edition where there is one."""
    against = pose.displacement is not None
    return {
        "rule": "older_edition" if against else "canonical",
        "mirrored": pose.mirrored,
        "edition": older if against else None,
        "common_terms": pose.common if against else None,
        "mean_displacement_deg": pose.displacement,
    }


def agreement_record(
    agreement: CircularAgreement, map_record: Mapping[str, Any], agrees: float
) -> dict[str, Any]:
    """
    Describe whether the ring agrees with the map, and whether that can be quoted.

    Parameters
    ----------
    agreement : CircularAgreement
    map_record : mapping
        `map.json`.
    agrees : float
        Largest p at which the two are said to agree.

    Returns
    -------
    dict
    """
    replicates = map_record["restart_agreement"]["replicates"]
    return {
        "fisher_lee": agreement.fisher_lee,
        "uniform_margins": agreement.uniform,
        "mirrored": agreement.mirrored,
        "p": agreement.p_value,
        "permutations": agreement.permutations,
        "n_terms": agreement.n_terms,
        "agree_up_to_p": agrees,
        "found": agreement.p_value <= agrees,
        "map_angles_replicate": bool(replicates and not map_record["degenerate"]),
    }


def adjacency_record(
    support: Adjacency, pairs: Iterable[tuple[str, str]], settings: CircleSettings
) -> dict[str, Any]:
    """
    Describe how sure the neighbours of the ring are.

    Parameters
    ----------
    support : Adjacency
    pairs : iterable of (str, str)
        Neighbours in order around the ring.
    settings : CircleSettings

    Returns
    -------
    dict
    """
    neighbours: list[dict[str, Any]] = [
        {"class": one, "next": other, "support": support.of(one, other)} for one, other in pairs
    ]
    return {
        "replicates": settings.adjacency_replicates,
        "n_classes": len(support.classes),
        "neighbours": neighbours,
        "weak_below": settings.weak_adjacency,
        "weak": sum(row["support"] < settings.weak_adjacency for row in neighbours),
    }


def order_record(
    settings: CircleSettings,
    ring: DrawnRing,
    ring_of_data: DrawnRing,
    adjacency: Mapping[str, Any],
    agreement: Mapping[str, Any],
    older: str | None,
) -> dict[str, Any]:
    """
    Describe the order of the published chart beside that of the chart of the data.

    Parameters
    ----------
    settings : CircleSettings
    ring, ring_of_data : DrawnRing
    adjacency, agreement : mapping
        As `adjacency_record` and `agreement_record` give them.
    older : str or None
        The older edition that the ring is to lie like.

    Returns
    -------
    dict
    """
    return {
        "order_freedom": settings.order_freedom,
        **length_record(ring),
        "data_only": length_record(ring_of_data),
        "adjacency": adjacency,
        "gaps": gap_record(ring.layout, settings.gap_budget_deg),
        "sector_width": settings.sector_width,
        "pose": pose_record(ring.layout.pose, older),
        "agreement_with_map": agreement,
    }


def restart_record(agreement: RestartAgreement, least: float) -> dict[str, Any]:
    """Describe whether the directions of the map can be relied on."""
    return {
        "starts_compared": agreement.near_best,
        "median": agreement.median,
        "lowest": agreement.lowest,
        "median_of_all_starts": agreement.median_all,
        "least_to_quote": least,
        "replicates": agreement.median >= least,
    }


def null_record(null: Floats, stress: float) -> dict[str, Any]:
    """Describe the stress-1 of the maps of sorts without structure beside that of the map."""
    reached = int((null <= stress).sum())
    return {
        "replicates": len(null),
        "mean": float(null.mean()),
        "least": float(null.min()),
        "reached": reached,
        "p": reached_p(reached, len(null)),
    }


def scaling_record(
    settings: MapSettings,
    found: BestMap,
    given_up: float | None,
    agreement: RestartAgreement,
    saturated: float,
) -> dict[str, Any]:
    """
    Describe a map, but for what it is worth beside maps without structure.

    Parameters
    ----------
    settings : MapSettings
    found : BestMap
        The map that is shown.
    given_up : float or None
        Stress-1 of the ordinal map that was given up as degenerate.
    agreement : RestartAgreement
    saturated : float
        Share of pairs that nobody put together.

    Returns
    -------
    dict
    """
    return {
        "type_asked": settings.type,
        "type": found.model.kind,
        "ties": found.model.ties if found.model.kind == ORDINAL else None,
        "dimensions": 2,
        "n_terms": len(found.terms),
        "starts": settings.starts,
        "rounds_at_most": settings.rounds,
        "stress_1": found.stress,
        "stress_1_of_starts": {
            "least": float(found.all_stress.min()),
            "largest": float(found.all_stress.max()),
        },
        "degenerate": given_up is not None,
        "stress_1_of_degenerate_map": given_up,
        "restart_agreement": restart_record(agreement, settings.angle_agreement),
        "saturated_share": saturated,
        "ellipses": {"level": settings.ellipse_level, "replicates": settings.bootstrap},
        **sample_record(settings, found),
    }


def sample_record(settings: MapSettings, found: BestMap) -> dict[str, Any]:
    """Describe the sample of pairs to which starts were fitted; empty if they were all pairs."""
    if found.sample_error is None:
        return {}
    told = {
        "pairs": settings.most_pairs,
        "of": len(found.wanted),
        "stress_1_error": round(found.sample_error, PRODUCT_DECIMALS),
    }
    return {"sample": told}


def map_record(scaling: Mapping[str, Any], null: Floats) -> dict[str, Any]:
    """
    Describe a map and what it is worth.

    Parameters
    ----------
    scaling : mapping
        As `scaling_record` gives it.
    null : (replicates,) array of float
        Stress-1 of sorts without structure.

    Returns
    -------
    dict
    """
    record: dict[str, Any] = {**scaling, "null": null_record(null, scaling["stress_1"])}
    return {**record, "warnings": warnings_of(record)}


def warnings_of(record: Mapping[str, Any]) -> list[str]:
    """Return the codes of what a reader has to know before quoting the map."""
    null = record["null"]
    said = {
        "degenerate": record["degenerate"],
        "directions": not record["restart_agreement"]["replicates"],
        "no_better_than_null": null["reached"] / null["replicates"] > NO_BETTER,
        "saturated": record["saturated_share"] > MOSTLY,
    }
    return [code for code, holds in said.items() if holds]
