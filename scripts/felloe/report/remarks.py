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


def granularity_of(evidence):
    """Return the rows on granularity, the measures in words."""
    rows = evidence.select("validation/granularity.csv")
    return [{**row, "measure": MEASURES.get(row["measure"], row["measure"])} for row in rows]


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
