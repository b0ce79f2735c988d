"""
What the pooling dossier says in words, for the page and the figure.

A dossier is the record of `comparison/populations.json`, labels are what populations are called.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any

Record = Mapping[str, Any]

QUESTIONS = {
    "related": "Are the two structures related at all? (one-sided Mantel p; to be met first, no "
    "more)",
    "reliability": "Would both populations' matrices be repeated by as many other people? (the "
    "smaller stepped-up split-half reliability)",
    "corrected_r": "Do the two matrices agree once noise is allowed for? "
    "(lower 95 % bound of the corrected correlation)",
    "no_term_named": "Is no term placed differently beyond granularity and noise? (terms named)",
    "few_terms_named": "Are few enough terms named to be printed as notes? (share of terms)",
    "corrected_r_without": "Do the two matrices agree without the named terms? (lower 95 % bound)",
    "no_difference_found": "Is no difference found between people of equal granularity? (p of the "
    "matched test)",
    "stable_cut": "Do random splits of the same people change few classes, so that changes of "
    "class say something? (median share of terms)",
    "changing_class": "Do few terms change class? (share of terms, less the median of random "
    "splits of the same people)",
}
REASONS = {
    "equivalent": "Allowing for noise the two matrices agree, both populations are reliable, and "
    "no term is placed differently beyond granularity and noise.",
    "equivalent_without_named": "A few terms are placed differently, and are named; without them "
    "the two matrices agree once noise is allowed for, and both populations are reliable.",
    "different": "People who sort about equally coarsely differ between the populations, terms are "
    "placed differently beyond noise, and classes change with them.",
    "unreliable": "At least one population's matrix would not be repeated by as many other people, "
    "so that neither agreement nor its absence shows anything.",
    "unrelated": "Nothing shows that the two structures are even related, and no difference beyond "
    "granularity and noise is shown either.",
    "not_shown": "Neither is shown: not that the populations agree within the margins, nor that "
    "they differ beyond granularity and noise in a way that changes classes.",
}
SHORT_QUESTIONS = {
    "related": "related at all (Mantel p)",
    "reliability": "both populations reliable",
    "corrected_r": "agree, noise allowed for (low end of r)",
    "no_term_named": "no term placed differently (terms)",
    "few_terms_named": "few terms named (share)",
    "corrected_r_without": "agree without the named (low end of r)",
    "no_difference_found": "no difference at equal granularity (p)",
    "stable_cut": "splits change few classes (share)",
    "changing_class": "few change class (share beyond splits)",
}
NO_VALUE = {
    "unreliable": "the matrix of at least one population would not be repeated by as many other "
    "people, and dividing by what is mostly noise can give any value.",
    "above_one": "the estimate lies above 1, which the truth cannot.",
    "uncorrectable": "there are too few people or terms, or the people of one population do not "
    "agree among themselves.",
}
PLANNED = {
    "agreement": (
        "What would settle it: if the populations are as alike as they look, equivalence would be "
        "shown with {ways}. {drawn} That is a plan, not a promise: if they are less alike than "
        "they look it takes more people, and below the margin no number is enough. Where the truth "
        "was known, such a number was enough in more than nine of ten cases between populations "
        "that were alike, and often in fewer than half where one sorts more coarsely than the "
        "other (DEVELOPERS.md has the table).",
        "Even if the populations are as alike as they look, no number up to {most} more people "
        "would show equivalence.",
    ),
    "shortfall": (
        "Allowing for noise the two matrices agree by less than is asked. If they are as they "
        "look, more people would show that and not equivalence: {ways} would. {drawn} {apart}",
        "Allowing for noise the two matrices agree by less than is asked, so more people of the "
        "same kind would not show equivalence; and no number up to {most} more would show that "
        "they fall short. {apart}",
    ),
}
APART = (
    "Keeping apart cannot be promised either: it takes a difference between people of equal "
    "granularity, terms that are named, and classes that change with them; how many people that "
    "takes cannot be said from here."
)
HINDRANCES = {
    "other_criteria": "The criteria on which more people bear are met already; another one of the "
    "table is not, and how many people that takes cannot be said from here.",
    "many_named": "More people would not show equivalence: more terms are placed differently than "
    "may be printed as notes. They may show a difference instead; how many that takes cannot be "
    "said from here.",
    "unknown": "How many more people would settle it cannot be said: these sorts do not show how "
    "far the people of each population agree among themselves.",
}
NOT_MET = ("not met", "fail")
OF_NAMED = ("few_terms_named", "corrected_r_without")
CRITERION_STYLES = {"related": "p", "no_difference_found": "p", "no_term_named": "count"}
MARGIN_STYLES = {"no_term_named": "count"}
HEADINGS = {
    "pool": "Pool",
    "pool_with_notes": "Pool, with notes",
    "cannot_tell": "Cannot be told",
    "keep_apart": "Keep apart",
}
VERDICTS = {
    "pool": "The populations may be pooled.",
    "pool_with_notes": "The populations may be pooled with notes.",
    "cannot_tell": "Whether the populations may be pooled cannot be told from these sorts.",
    "keep_apart": "The populations are kept apart.",
}
RULE = (
    "The burden of proof lies with pooling. Pool if both populations are reliable, the lower end "
    "of the corrected correlation meets its margin, no term is named as placed differently beyond "
    "granularity and noise, and classes do not change beyond what nearly all random splits of the "
    "same people change. Pool with notes if few terms are named and the margin is met without "
    "them. Keep apart if the matched test rejects, terms are named, and classes change. "
    "Otherwise it cannot be told. Changes of class say something only where random splits of the "
    "same people change few terms. The p of Mantel's test has to be met first and decides nothing "
    "else."
)
PROVISIONAL = (
    "Provisional: whether the populations may be pooled cannot be told from these sorts, so this "
    "chart of all participants may hide a difference between them."
)
GRANULARITY_ALONE = (
    "The corrected correlation is not corrected for granularity. Populations that differ in it "
    "alone therefore mostly end there: a known property of the measure, and by itself no sign "
    "of another structure."
)
NOT_IDENTICAL = (
    "So the populations do not sort identically. The question of the criteria above is another: "
    "whether they are alike within the margin, once it is allowed for that people sort more or "
    "less coarsely; and that is shown."
)
CHARACTERISTICS = (
    "How the rule behaves where the truth is known was simulated with several kinds of invented "
    "people; DEVELOPERS.md has the table. Where a third of the terms had truly moved, no study was "
    "pooled; where nothing had, most studies of 35 and 35 people were, and the others could not "
    "tell."
)
MISSING = (
    "A term that somebody did not place counts neither as together nor as apart: people are "
    "compared on the pairs of terms that both placed, and the disagreement is scaled up to all "
    "pairs. In the adjusted test per term such a pair takes the share of all who placed it, and "
    "so says nothing. A pair that nobody of one population placed takes the pooled similarity."
)
LABEL_TESTS = (
    "Matched: people of both populations who sort about equally coarsely form sets (full matching "
    "on a score of five measures of granularity) and change places within them; who is like nobody "
    "of the other population is left out. With measures taken out: these are taken out of "
    "everybody's pairs, and people change places within bins of the score; it uses everybody and "
    "rejects somewhat too often. Unrestricted: people change places freely, which also answers to "
    "granularity and scatter."
)


def answers(criteria: Sequence[Record]) -> dict[str, tuple[str, str]]:
    """
    Return whether every criterion is met, by key: in words, and how it counts.

    A cut that random splits change does not count against pooling; changes of class are then not
    used at all. The second word is "pass", "fail" or "aside".
    """
    said = {one["key"]: ("met", "pass") if one["passed"] else NOT_MET for one in criteria}
    if said.get("stable_cut") == NOT_MET:
        said["stable_cut"] = ("not met", "aside")
        said["changing_class"] = ("not used", "aside")
    return said


def asked(criteria: Sequence[Record]) -> list[Record]:
    """Return the criteria that say something: those on named terms only where a term is named."""
    named = any(one["key"] == "no_term_named" and one["value"] for one in criteria)
    return [one for one in criteria if named or one["key"] not in OF_NAMED]


def verdict_words(dossier: Record) -> str:
    """Return the verdict on the populations and its reason."""
    return f"{VERDICTS[dossier['verdict']]} {REASONS[dossier['reason']]}"


def verdict_sentence(dossier: Record, labels: Mapping[str, str]) -> str:
    """Return the verdict on the populations, or that there is only one."""
    called = [labels[name] for name in dossier["populations"]]
    if dossier["compared"]:
        return f"{' and '.join(called)}: {verdict_words(dossier)}"
    return (
        f"All participants belong to one population ({called[0]}), so there is nothing to "
        "compare; the chart is made from all of them."
    )


def verdict_title(dossier: Record, labels: Mapping[str, str]) -> str:
    """Return the verdict in a word or two and on whom; "" for one population."""
    if not dossier["compared"]:
        return ""
    called = " and ".join(labels[name] for name in dossier["populations"])
    return f"{HEADINGS[dossier['verdict']]}: {called}"


def override_sentence(dossier: Record, override: str | None) -> str:
    """
    Return which setting stands above the verdict, "" where none does.

    Parameters
    ----------
    dossier : mapping
    override : {"always", "never", "one"} or None
        As in `comparison/chart.json`.
    """
    if override in (None, "decide") or not dossier["compared"]:
        return ""
    verdict = dossier["verdict"]
    if override == "one":
        return (
            "One population alone is charted because the setting comparison.cannot_tell is 'one'; "
            f"the verdict leaves open whether to pool ({verdict})."
        )
    done = {"always": "The populations were pooled", "never": "The populations were kept apart"}
    agrees = (verdict == "keep_apart") == (override == "never")
    turn = "as the verdict says" if agrees else "AGAINST the verdict"
    if verdict == "cannot_tell":
        turn = "though the verdict leaves it open"
    return (
        f"{done[override]} because the setting comparison.pooling is '{override}', {turn} "
        f"({verdict})."
    )


def reason_sentence(reason: str | None) -> str:
    """Return why the verdict was overridden, or that nobody said."""
    if not reason:
        return "No reason was given (comparison.override_reason)."
    return f"The reason given: {reason}"


def granularity_differs(dossier: Record) -> bool:
    """Return whether nobody can tell and the populations differ in how finely they sort."""
    if dossier["verdict"] != "cannot_tell":
        return False
    found, level = dossier["granularity_difference"]["p_value"], dossier["terms"]["alpha"]
    return bool(found <= level)


def chart_sentence(chart: Record, labels: Mapping[str, str]) -> str:
    """Return which chart is made; `chart` is the record of `comparison/chart.json`."""
    if chart["source"] != "pooled":
        why = (
            " It is the population with most participants; comparison.chart_population names none."
            if chart["chosen_by"] == "size"
            else ""
        )
        beside = "every population's own chart stands below."
        return f"The chart is that of {labels[chart['source']]} alone; {beside}{why}"
    who = (
        "every population weighs the same"
        if chart["weights"] == "equal"
        else "every participant weighs the same"
    )
    provisional = ", and it is provisional" if chart["provisional"] else ""
    return f"The chart is made from all participants{provisional}; {who}."


def narrowly_met(criteria: Sequence[Record], narrow: float) -> list[str]:
    """Return the keys of the criteria on the corrected correlation that little decides."""
    return [
        one["key"]
        for one in criteria
        if one["key"] in ("corrected_r", "corrected_r_without")
        and one["value"] is not None
        and abs(one["value"] - one["margin"]) < narrow
    ]


def few_people(dossier: Record, few: int) -> list[str]:
    """Return the populations with fewer people than `few`."""
    return [name for name, found in dossier["n_people"].items() if found < few]


def error_of_difference(n_people: int) -> str:
    """
    Return how far a difference between two populations' shares of one pair of terms errs.

    The standard error with `n_people` in each of them, where half of the people put it together.
    """
    return f"{math.sqrt(2 * 0.5 * 0.5 / n_people):.2f}"


def culture_reading(ratio: float) -> str:
    """Return the usual reading of the ratio of the first two eigenvalues."""
    if ratio >= 3.0:
        return "one way of sorting, not several camps (3 or more counts as one)"
    return (
        "one way of sorting, agreed on weakly (2 to 3)"
        if ratio >= 2.0
        else "little agreement on one way of sorting (below 2)"
    )


def overlap_sentence(dossier: Record) -> str:
    """Return how far two populations overlap in granularity, and who could be matched."""
    overlap = dossier["granularity_difference"]["overlap"]
    matched, people = dossier["label_permutation"]["n_matched"], sum(dossier["n_people"].values())
    return (
        f"The granularity of the two populations overlaps by {overlap:.2f}; {matched} of {people} "
        "people could be matched. Where few can, no test tells a difference in structure from one "
        "in granularity."
    )


def blur_sentence(dossier: Record, labels: Mapping[str, str]) -> str:
    """Return whether a difference looks like a blur or like another structure."""
    shape, named = dossier["shape"], dossier["terms"]["differing"]
    differs = dossier["label_permutation"]["p_matched_holm"] <= dossier["terms"]["alpha"]
    sentence = (
        f"{labels[shape['clearer']]} are more of one mind: misplacing "
        f"{100 * shape['astray']:.0f}\u202f% of their terms at random would make them agree as "
        "little as the others."
    )
    if named:
        return (
            f"{sentence} Beyond that, {len(named)} of the terms are placed differently: another "
            "structure, not only less care."
        )
    if differs:
        return (
            f"{sentence} The difference that the matched test finds looks like such a blur: no "
            "single term stands out beyond it."
        )
    return f"{sentence} No term is placed differently beyond that."


def bound_sentence(corrected: Record) -> str:
    """
    Return why a corrected correlation is told by a bound or not at all, "" where it has a value.

    Parameters
    ----------
    corrected : mapping
        As `noise_ceiling.corrected_r` in the record.
    """
    said = {
        "value": "",
        "at_least": "No value and no upper bound can be given",
        "no_bound": "Corrected for noise neither a value nor a bound can be given",
        "nothing": "It cannot be corrected for noise",
    }[corrected["says"]]
    return f"{said}: {NO_VALUE[corrected['because']]}" if said else ""


def number_words(further: Record) -> str:
    """Return a share of simulated studies with its Monte-Carlo error."""
    return f"{further['share']:.2f}, Monte-Carlo error {further['standard_error']:.2f}"


def ways_to_settle(plan: Record, labels: Mapping[str, str]) -> list[str]:
    """Return the numbers of further people that would do, each in words."""
    alone = {name: found for name, found in plan["only"].items() if found is not None}
    ways = [
        f"{found['more']} more of {labels[name]} alone ({number_words(found)})"
        for name, found in alone.items()
    ]
    each = plan["of_each"]
    if each and each["more"] < min((found["more"] for found in alone.values()), default=math.inf):
        ways.append(f"{each['more']} more of each ({number_words(each)})")
    return ways


def plan_sentence(dossier: Record, labels: Mapping[str, str]) -> str:
    """Return how many more people would settle it, "" where it is settled."""
    plan = dossier["plan"]
    if plan is None:
        return ""
    question = plan["question"]
    if question not in PLANNED:
        return HINDRANCES[question]
    ways = ways_to_settle(plan, labels)
    drawn = (
        f"In brackets stands the share of {plan['replicates']} simulated studies of that size that "
        f"showed it, people drawn from what these sorts say; {plan['enough']:.2f} were asked for."
    )
    said = PLANNED[question][0 if ways else 1]
    return said.format(ways=", or ".join(ways), drawn=drawn, most=plan["most"], apart=APART)


def missing_sentence(missing: Record) -> str:
    """Return what is done about placements that are missing."""
    return MISSING if missing["unplaced"] else "Everybody placed every term."


def multiplicity_sentence(n_pairs: int) -> str:
    """Return how several pairs of populations are allowed for, "" for one pair or none."""
    if n_pairs < 2:
        return ""
    return (
        f"{n_pairs} pairs of populations: p of the tests by Holm's method, a term is named at the "
        f"level divided by {n_pairs}. The weakest answer of all pairs is the study's."
    )
