"""What more participants would gain, as numbers and as a sentence."""

import math

from felloe.validation.reliability import people_needed, predicted_reliability

SHARES = (0.25, 0.5, 1.0)  # more people, as shares of those there are


def plan(name, label, reliability, target):
    """
    Answer how many more participants would gain what.

    Parameters
    ----------
    name, label : str
        Id and words of the population, or of all of them.
    reliability : felloe.validation.reliability.Spread
    target : float

    Returns
    -------
    dict
        `participants`, `reliability`, `more` (list of `added`, `reliability`), `target`,
        `needed_for_target` and the `sentence`.
    """
    n, now = reliability.participants, reliability.mean
    if not math.isfinite(now):
        return {
            "population": name,
            "participants": n,
            "reliability": None,
            "more": [],
            "target": target,
            "needed_for_target": None,
            "sentence": f"{label}: {n} participants are too few, or too much alike, to tell.",
        }
    more = [
        {"added": added, "reliability": predicted_reliability(now, (n + added) / n)}
        for added in (max(1, round(n * share)) for share in SHARES)
    ]
    needed = people_needed(now, n, target)
    return {
        "population": name,
        "participants": n,
        "reliability": now,
        "more": more,
        "target": target,
        "needed_for_target": needed,
        "sentence": sentence_of(label, n, now, more, target, needed),
    }


def sentence_of(label, n, now, more, target, needed):
    """Return the plan in words."""
    gains = ", ".join(f"{step['added']} more to {step['reliability']:.3f}" for step in more)
    text = (
        f"{label}: as many other people as these {n} would be expected to give a matrix that "
        f"correlates {now:.3f} with this one (Spearman-Brown); {gains}. "
    )
    if needed is None:
        return text + "The halves do not agree, so no number of people can be named."
    if needed <= n:
        return text + f"The target of {target:g} is reached; {needed} people would have done."
    return text + f"The target of {target:g} would take about {needed - n} more, {needed} in all."


def tiers_sentence(curve, cuts):
    """
    Return in words how far the tiers of two separate samples agree, small and large.

    Parameters
    ----------
    curve : list of felloe.validation.reliability.Spread
    cuts : dict
        `classes` and `subclasses`: the numbers of groups.

    Returns
    -------
    str
    """
    parts = []
    for tier, number in (("class", cuts["classes"]), ("subclass", cuts["subclasses"])):
        points = [point for point in curve if point.quantity == f"{tier}_agreement"]
        middle, last = points[(len(points) - 1) // 2], points[-1]
        parts.append(
            f"{number} {tier}es of two separate samples of {middle.participants} agree by "
            f"{middle.mean:.2f} (adjusted Rand), of {last.participants} by {last.mean:.2f}"
        )
    return "; ".join(parts) + "."
