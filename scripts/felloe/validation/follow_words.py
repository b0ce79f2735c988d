"""What follows from the tables and figures on the people, in a sentence each."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row

FLAT = 0.02  # gain of the last step of a curve, adjusted Rand; rule of thumb, no source
INSTRUCTION = "Whatever the chart says, it says in answer to this question and to no other."


def speaks_for(people: Mapping[str, int], chart: Mapping[str, Any]) -> str:
    """
    Say whom the chart speaks for, and how much each of them counts.

    Parameters
    ----------
    people : mapping of str to int
        Participants analysed, by what their population is called.
    chart : mapping
        `comparison/chart.json`.
    """
    who = " and ".join(f"{label} ({n})" for label, n in people.items())
    if len(people) == 1:
        return f"The chart speaks for {who}, and for nobody else."
    if chart["source"] != "pooled":
        return f"Of these {who}, the chart speaks for one population alone (section on pooling)."
    least, most = min(people.values()), max(people.values())
    if chart["weights"] == "equal":
        return (
            f"The chart speaks for {who}; populations weigh alike, so that one person of the "
            f"smallest counts as {most / least:.1f} of the largest."
        )
    share = 100 * most / sum(people.values())
    return (
        f"The chart speaks for {who}; everybody weighs the same, so that the largest population "
        f"has {share:.0f} % of the say."
    )


def granularity(p_value: float | None, alpha: float) -> str:
    """Say what a difference in granularity means for all that follows."""
    if p_value is None:
        return (
            "With one population nothing is compared; wide ranges say that people of either kind "
            "took part, which a chart of three tiers needs."
        )
    if p_value <= alpha:
        return (
            "The populations do not sort equally coarsely. So a difference between them may be "
            "this alone, and only tests that allow for it are used to tell them apart."
        )
    return (
        "No difference in coarseness is shown between the populations, so that it is no likely "
        "cause of other differences between them."
    )


def reliability(plans: Sequence[Mapping[str, Any]], labels: Mapping[str, str]) -> str:
    """Say whose matrix is as reliable as asked; `plans` of `stability.json`, all people last."""
    short = [
        labels.get(plan["population"], plan["population"])
        for plan in plans[:-1]
        if plan["reliability"] is None or plan["reliability"] < plan["target"]
    ]
    everybody = plans[-1]["reliability"]
    reached = everybody is not None and everybody >= plans[-1]["target"]
    if reached and not short:
        return "More people of the same kind are not needed: every target is reached."
    if reached:
        return (
            f"For the chart of all, more people are not needed. What is said of {listed(short)} "
            "alone is less sure than was asked for."
        )
    return "More people would make the chart surer; how many is said above."


def curve(rows: Iterable[Row]) -> str:
    """Say whether more people would still change the classes; rows of `stability.csv`."""
    points = [row["mean"] for row in rows if row["quantity"] == "class_agreement"]
    if len(points) < 2:
        return "There are too few people to say what more of them would change."
    gain = points[-1] - points[-2]
    if gain < FLAT:
        return (
            f"The classes' curve has flattened (last step {gain:+.3f}): more people of the same "
            "kind would change little."
        )
    return (
        f"The classes' curve still rises (last step {gain:+.3f}): more people of the same kind "
        "would still change some classes."
    )


def findings(number: int) -> str:
    """Say what to do about what was noticed in the files."""
    if not number:
        return "There is nothing to look into."
    return (
        "None of these stopped the study. Where one names a term, look at it before you decide on "
        "that term."
    )


def lexicon(rows: Sequence[Row]) -> str:
    """Say what the lexicon still lacks; rows of `terms.csv`."""
    lacking = {
        f"{part}s": sum(not row[part] for row in rows) for part in ("definition", "reference")
    }
    said = [f"{n} of {len(rows)} terms have no {part[:-1]}" for part, n in lacking.items() if n]
    if not said:
        return "Every term can be looked up and shown; nothing is left to write."
    return f"{' and '.join(said)}: two people may mean two things by these until they are written."


def departures(number: int) -> str:
    """Say what departures from the protocol mean."""
    return (
        f"Whatever rests on {'this point' if number == 1 else f'these {number} points'} was "
        "chosen after the protocol was frozen, perhaps in sight of the data: read it "
        "as exploratory."
    )


def listed(names: Sequence[str], most: int = 12) -> str:
    """Return names as a list in a sentence, the first few of many."""
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
