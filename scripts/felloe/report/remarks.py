"""What the report says in words where numbers are narrow, few, weak or missing."""

DOSSIER = "comparison/populations.json"
NARROW = 0.02  # a bound this near its margin is called narrow
FEW = 20  # people per population; below it intervals are called wide
MEASURES = {
    "n_piles": "piles",
    "n_single_piles": "single-term piles",
    "largest_pile_share": "largest pile, share of terms",
    "pairs_together_share": "pairs put together, share",
}
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


def granularity_of(evidence):
    """Return the rows on granularity, the measures in words."""
    rows = evidence.select("validation/granularity.csv")
    return [{**row, "measure": MEASURES.get(row["measure"], row["measure"])} for row in rows]


def weak_neighbours(evidence):
    """Return the rows of neighbouring classes that fewer than half of the redraws support."""
    rows = evidence.select("circle/adjacency.csv", neighbours=True)
    return sorted(
        (row for row in rows if row["support"] < 0.5),
        key=lambda row: (row["support"], row["class"], row["other_class"]),
    )


def targets_reached(evidence):
    """
    Say whether each population's matrix is as reliable as the settings ask.

    Returns
    -------
    dict of str to str
        By population, and under `answer` for the plan that the answer tells; "" without a target.
    """
    name = "validation/stability.json"
    plans = evidence.find(name, "plans") if name in evidence.paths else None
    said = {"answer": ""}
    answer = evidence.find(name, "answer") if plans else None
    for plan in plans or ():
        target, reliability = plan.get("target"), plan.get("reliability")
        words = ""
        if target is not None and reliability is not None:
            words = "Target reached." if reliability >= target else "Target not reached."
        said[plan["population"]] = words
        if answer and plan.get("sentence") and answer.startswith(plan["sentence"]):
            said["answer"] = words
    return said


def pooling_remarks(evidence):
    """
    Return what the section on pooling remarks beside the criteria.

    Returns
    -------
    dict
        `narrow`: keys of criteria that are met or missed by little; `few_people`: labels of the
        populations with few people; `changes_at`: place of the criterion that counts changes of
        class and of subclass together, None if there is none or its parts are not at hand.
    """
    criteria = evidence.find(DOSSIER, "criteria") if DOSSIER in evidence.paths else None
    if not criteria:
        return {"narrow": (), "few_people": {}, "changes_at": None}
    narrow = [
        row["key"]
        for row in criteria
        if row["key"] == "corrected_r"
        and row["value"] is not None
        and abs(row["value"] - row["margin"]) < NARROW
    ]
    labels = evidence.record("validation/study.json")["populations"]
    people = evidence.find(DOSSIER, "n_people") or {}
    few = {name: labels.get(name, name) for name, found in people.items() if found < FEW}
    parts = [
        evidence.find(DOSSIER, f"consequence.{tier}.n_changing") for tier in ("class", "subclass")
    ]
    places = [
        place
        for place, row in enumerate(criteria)
        if row["key"] == "no_change" and None not in parts and row["value"] == sum(parts)
    ]
    return {"narrow": narrow, "few_people": few, "changes_at": places[0] if places else None}
