"""The record of a circular order: its length beside what it is compared with, and in words."""

AGREES = 0.05  # p from which on ring and map are said to agree; common practice, no source
WEAK = 0.5  # support below which two neighbours are not to be read as kin
ADJACENCY = (
    "share of redrawn studies in which the two classes are neighbours: participants are redrawn "
    "within populations, the tree is built and its shortest circle found anew, and each class of "
    "the published chart stands where its longest unbroken run of terms stands"
)
ANGLES = (
    "degrees clockwise from the top, which is the middle of the gap after the last term; only the "
    "gap between neighbours is to be read, the top and distances across the circle mean nothing"
)
FREEDOM = {
    "tree": "every merge of the tree is kept together",
    "tiers": "only classes and subclasses are kept together",
}
FREE_TOUR = "the shortest found from many starts; not claimed to be optimal"
TIE_RULE = (
    "among orders of the same length the one whose terms, read from the alphabetically first "
    "term in either direction, come first in alphabetical order; turned and mirrored orders "
    "count once"
)
CHARTS = {
    "published": "the published chart without absorbed terms",
    "data_only": "the chart of the data with all terms",
}


def length_record(which, outer, evidence, refined):
    """
    Describe the order of one chart.

    Parameters
    ----------
    which : {'published', 'data_only'}
    outer : OuterRing
    evidence : OrderEvidence
    refined : list of list of int
        Groups too large for the wider freedom.

    Returns
    -------
    dict
    """
    best = evidence.best
    price = best.length / evidence.free - 1.0 if evidence.free else 0.0
    return {
        "terms": f"{len(outer.terms)} terms: {CHARTS[which]}",
        "length": best.length,
        "length_dendrogram_order": evidence.dendrogram,
        "length_worst": evidence.worst,
        "length_random_mean": evidence.random_mean,
        "length_random_sd": evidence.random_sd,
        "length_free_tour": evidence.free,
        "price_of_the_tree": round(price, 12),
        "n_optima": best.n_optima,
        "n_optima_exact": best.counted_exactly,
        "groups_that_keep_their_merges": [[outer.terms[i] for i in group] for group in refined],
    }


def gap_record(layout, budget):
    """Describe the gaps, for the key on the figure."""
    rule, gaps = layout.rule, layout.ring.gaps
    widths = {
        name: [float(gaps[layout.grades == grade].min()), float(gaps[layout.grades == grade].max())]
        for name, grade in (("subclass_deg", 1), ("class_deg", 2))
        if (layout.grades == grade).any()
    }
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
        "rule": "no gap within a subclass; between subclasses 1 to 2 units, between classes "
        f"{rule.class_gap:g} to {2 * rule.class_gap:g} units, rising in a straight line with the "
        "height at which the two neighbours join",
    }


def pose_record(pose, older):
    """Describe which way up the circle is drawn."""
    if pose.displacement is None:
        return {
            "rule": "canonical: the first class in alphabetical order of ids begins at the top, "
            "and the class after it has the smaller id of its two neighbours",
            "mirrored": pose.mirrored,
        }
    return {
        "rule": "turned and mirrored to the least mean angular displacement against an older "
        "edition, the top between two terms",
        "edition": older,
        "common_terms": pose.common,
        "mean_displacement_deg": pose.displacement,
        "mirrored": pose.mirrored,
    }


def agreement_record(agreement, map_record):
    """Describe whether the ring agrees with the map, and whether that can be quoted."""
    restarts = map_record["restart_agreement"]
    found = agreement.p_value <= AGREES
    usable = restarts["replicates"] and not map_record["degenerate"]
    return {
        "fisher_lee": agreement.fisher_lee,
        "uniform_margins": agreement.uniform,
        "mirrored": agreement.mirrored,
        "p": agreement.p_value,
        "permutations": agreement.permutations,
        "n_terms": agreement.n_terms,
        "found": found,
        "finding": f"ring and map agree more than by chance (p at most {AGREES:g})"
        if found
        else f"no agreement between ring and map was found (p above {AGREES:g})",
        "map_angles_replicate": bool(usable),
        "reading": "the map's directions come back from other starts, so the comparison can be read"
        if usable
        else "the map's directions do not come back from other starts: do not quote this "
        "comparison as evidence for or against the order",
        "form": "circular correlation of Fisher and Lee, which needs no mean direction, in the "
        "better of both reflections; uniform margins: R(a - b) - R(a + b)",
    }


def adjacency_record(names, shares, pairs, replicates):
    """
    Describe how sure the neighbours of the ring are.

    Parameters
    ----------
    names : list of str
        Classes.
    shares : (K, K) array of float
    pairs : list of (str, str)
        Neighbours in order around the ring.
    replicates : int

    Returns
    -------
    dict
    """
    neighbours = [
        {"class": one, "next": other, "support": shares[names.index(one), names.index(other)]}
        for one, other in pairs
    ]
    weak = sum(row["support"] < WEAK for row in neighbours)
    reading = (
        "with three classes or fewer every two are neighbours, so the shares say nothing"
        if len(names) <= 3
        else f"{weak} of {len(neighbours)} neighbours are neighbours in fewer than half of the "
        "redrawn studies: do not read those as kin"
        if weak
        else "all neighbours are neighbours in at least half of the redrawn studies"
    )
    return {
        "replicates": replicates,
        "means": ADJACENCY,
        "neighbours": neighbours,
        "weak": weak,
        "reading": reading,
    }
