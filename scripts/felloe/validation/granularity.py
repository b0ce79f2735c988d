"""How coarsely the populations sort: quartiles of what participants did with their piles."""

import numpy as np

MEASURES = ("n_piles", "n_single_piles", "largest_pile_share", "pairs_together_share")
SUMMARY_COLUMNS = (
    "population",
    "measure",
    "n",
    "mean",
    "sd",
    "minimum",
    "lower_quartile",
    "median",
    "upper_quartile",
    "maximum",
)


def summaries(people, measures):
    """
    Summarise measures of the kept participants, population by population and pooled.

    Parameters
    ----------
    people : list of dict
        With `population`, `status` and the measures.
    measures : sequence of str

    Returns
    -------
    list of list
        Rows of `SUMMARY_COLUMNS`; `sd` is the sample standard deviation, nan for one person.
    """
    kept = [person for person in people if person["status"] == "kept"]
    groups = {name: [] for name in sorted({person["population"] for person in kept})}
    for person in kept:
        groups[person["population"]].append(person)
    groups["pooled"] = kept
    rows = []
    for population, members in groups.items():
        for measure in measures:
            values = np.array([float(person[measure]) for person in members])
            sd = float(values.std(ddof=1)) if len(values) > 1 else np.nan
            quartiles = np.quantile(values, [0, 0.25, 0.5, 0.75, 1]).tolist()
            rows.append([population, measure, len(values), float(values.mean()), sd, *quartiles])
    return rows
