"""What the report says in words where numbers are narrow, few, weak or missing."""

NO_RIVAL = "\u2013 (spread over several classes or none)"


def reasons_of(evidence, rows):
    """
    Add to rows of terms why each is marked, and say so where no single class is the rival.

    Parameters
    ----------
    evidence : Evidence
    rows : list of dict
        Rows of the published tiers.

    Returns
    -------
    list of dict
        `reason` is there only if the evidence holds reasons.
    """
    marked = {row["term"]: row for row in evidence.select("tiers/evidence.csv")}
    told = []
    for row in rows:
        found = dict(row)
        if any("reason" in other for other in marked.values()):
            found["reason"] = marked.get(row["term"], {}).get("reason", "")
        if not row["rival_class"]:
            found.update(rival_class=NO_RIVAL, rival_probability="")
        told.append(found)
    return told


def weak_neighbours(evidence):
    """Return the rows of neighbouring classes that fewer than half of the redraws support."""
    rows = evidence.select("circle/adjacency.csv", neighbours=True)
    return sorted(
        (row for row in rows if row["support"] < 0.5),
        key=lambda row: (row["support"], row["class"], row["other_class"]),
    )
