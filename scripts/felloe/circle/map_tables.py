"""The tables and the record of the map of terms."""

import numpy as np

from felloe.circle.map_evidence import angles_about_centre
from felloe.circle.scaling import stress_per_point
from felloe.ground.tables import number, read_table, write_table

MAP_COLUMNS = [
    "term",
    "x",
    "y",
    "angle_deg",
    "stress_percent",
    "ellipse_x",
    "ellipse_y",
    "ellipse_major",
    "ellipse_minor",
    "ellipse_tilt_deg",
]
SHEPARD_COLUMNS = ["term_a", "term_b", "dissimilarity", "distance", "disparity"]
TIE_WORDS = {
    "primary": "pairs of equal dissimilarity may lie at different distances",
    "secondary": "pairs of equal dissimilarity are to lie at equal distances",
}


def write_map(path, terms, found, ellipses):
    """
    Write the map.

    Parameters
    ----------
    path : path
    terms : sequence of str
    found : BestMap
    ellipses : Ellipses
    """
    angles = np.round(np.degrees(angles_about_centre(found.points)), 9)
    shares = stress_per_point(found.points, found.disparities)
    rows = zip(
        terms,
        *found.points.T,
        angles,
        shares,
        *ellipses.centres.T,
        *ellipses.half_axes.T,
        ellipses.tilt_deg,
    )
    write_table(path, MAP_COLUMNS, rows)


def write_shepard(path, terms, dissimilarities, found):
    """Write what every pair should be and is apart, from the most to the least similar."""
    i, j = np.triu_indices(len(terms), 1)
    order = np.lexsort((found.distances, dissimilarities))
    write_table(
        path,
        SHEPARD_COLUMNS,
        (
            [
                terms[i[p]],
                terms[j[p]],
                dissimilarities[p],
                found.distances[p],
                found.disparities[p],
            ]
            for p in order
        ),
    )


def write_dimensions(path, curve):
    """Write the least stress-1 for each number of dimensions."""
    write_table(path, ["dimensions", "stress_1"], curve)


def read_points(path):
    """
    Read a map.

    Returns
    -------
    terms : list of str
    columns : dict of str to (n,) array of float
    """
    rows = read_table(path)
    columns = {
        name: np.array([number(row[name]) for row in rows])
        for name in MAP_COLUMNS
        if name != "term"
    }
    return [row["term"] for row in rows], columns


def restart_record(agreement, least):
    """Describe whether the directions of the map can be relied on."""
    replicates = agreement.median >= least
    return {
        "starts_compared": agreement.near_best,
        "median": agreement.median,
        "lowest": agreement.lowest,
        "median_of_all_starts": agreement.median_all,
        "least_to_quote": least,
        "replicates": replicates,
        "means": "agreement of directions, 0 to 1, between the best map and the other starts "
        "that fit about as well (within 5 % of its stress-1)",
    }


def warnings_of(asked, used, degenerate, restarts, share_of_null, saturated):
    """Return what a reader has to know before quoting the map."""
    words = []
    if degenerate:
        words.append(
            f"The {asked} map is degenerate: it fits without error because terms of a group fall "
            f"on one spot. It says nothing within or between groups; the {used} map is shown."
        )
    if not restarts["replicates"]:
        words.append(
            "Directions on this map do not replicate: other starts that fit as well give other "
            f"directions (median agreement {restarts['median']:.2f}). Do not place classes by "
            "their direction on the map."
        )
    if share_of_null > 0.05:
        words.append("The map fits no better than maps of sorts without structure.")
    if saturated > 0.5:
        words.append(
            f"{100 * saturated:.0f} % of the pairs were put together by nobody; the map cannot "
            "tell how far apart these are."
        )
    return words


def map_record(settings, kind, found, given_up, agreement, null, saturated):
    """
    Describe a map and what it is worth.

    Parameters
    ----------
    settings : dict
        The block `map` of the settings.
    kind : {'metric', 'ordinal'}
        Of the map that is shown.
    found : BestMap
    given_up : float or None
        Stress-1 of the ordinal map that was given up as degenerate.
    agreement : RestartAgreement
    null : (replicates,) array of float
        Stress-1 of sorts without structure.
    saturated : float
        Share of pairs that nobody put together.

    Returns
    -------
    dict
    """
    asked, ties = settings["type"], settings["ties"] if kind == "ordinal" else None
    restarts = restart_record(agreement, settings["angle_agreement"])
    reached, degenerate = int((null <= found.stress).sum()), given_up is not None
    facts = degenerate, restarts, reached / len(null), saturated
    return {
        "type_asked": asked,
        "type": kind,
        "ties": ties,
        "ties_mean": TIE_WORDS.get(ties),
        "method": "majorisation (SMACOF) with equal weights",
        "dimensions": 2,
        "n_terms": len(found.points),
        "starts": settings["starts"],
        "rounds_at_most": settings["rounds"],
        "stress_1": found.stress,
        "stress_1_of_starts": {
            "least": float(found.all_stress.min()),
            "largest": float(found.all_stress.max()),
        },
        "null": null_record(null, reached),
        "degenerate": degenerate,
        "stress_1_of_degenerate_map": given_up,
        "restart_agreement": restarts,
        "saturated_share": saturated,
        "ellipses": {
            "level": settings["ellipse_level"],
            "replicates": settings["bootstrap"],
            "means": "where maps of redrawn participants put the term, each map laid over this one",
        },
        "warnings": warnings_of(asked, kind, *facts),
    }


def null_record(null, reached):
    """Describe the maps of sorts without structure; `reached` of them fit as well."""
    return {
        "replicates": len(null),
        "mean": float(null.mean()),
        "least": float(null.min()),
        "p": (reached + 1) / (len(null) + 1),
        "means": "stress-1 of maps of the same sorts, terms permuted within participants",
    }
