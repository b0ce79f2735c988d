"""How many more people would settle whether populations may be pooled: asked of drawn studies."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from felloe.comparison.more_people.simulated_study import Estimates, Side, Study, drawn_study
from felloe.comparison.verdict import Evidence, Margins
from felloe.ground.randomness import Streams

ENOUGH = 0.8  # share of drawn studies that have to show it: the usual power of a plan
REPLICATES = 400  # studies drawn at each size; the Monte-Carlo error of 0.8 is then 0.02
MOST_FACTOR = 20  # times the people of today; beyond it nothing is promised
EVERY = 10  # up to so many further people every number is tried
GROWTH = 1.2  # from there on each number tried is so many times the one before

Question = Literal["agreement", "shortfall", "other_criteria", "many_named", "unknown"]
PLANNED: tuple[Question, ...] = ("agreement", "shortfall")  # what a number of people can settle
Sizes = tuple[int, int]


@dataclass(frozen=True)
class Number:
    """
    A number of further people that would do.

    Attributes
    ----------
    more : int
        The smallest number tried with which at least `ENOUGH` of the drawn studies show it.
    share, standard_error : float
        Of the drawn studies, and its Monte-Carlo error.
    """

    more: int
    share: float
    standard_error: float


@dataclass(frozen=True)
class Plan:
    """
    How many further people would settle it.

    Attributes
    ----------
    question : str
        What they would settle. "agreement": equivalence would be shown. "shortfall": the
        correlation lies below its margin, and its interval would come to lie below it as well.
        No number is given for the others. "other_criteria": what asks for people is met already.
        "many_named": more terms are named than notes allow. "unknown": nothing to draw from.
    first_only, second_only, of_each : Number or None
        Further people of the first population alone, of the second alone, of each of the two;
        None where no number up to `most` suffices.
    most : int
        Largest number of further people tried.
    """

    question: Question
    first_only: Number | None
    second_only: Number | None
    of_each: Number | None
    most: int


def question_of(evidence: Evidence, correlation: float, margins: Margins) -> Question:
    """
    Return what further people could settle where nobody can tell.

    Parameters
    ----------
    evidence : Evidence
    correlation : float
        Corrected, without the named terms; nan where it is unknown.
    margins : Margins
    """
    if math.isnan(correlation) or math.isnan(evidence.reliability):
        return "unknown"
    if evidence.named / evidence.n_terms > margins.named_terms:
        return "many_named"
    if correlation < margins.corrected_r:
        return "shortfall"
    low = evidence.corrected_low_without
    met = low >= margins.corrected_r and evidence.reliability >= margins.reliability
    return "other_criteria" if met else "agreement"


def shows_agreement(study: Study, margins: Margins) -> bool:
    """Return whether a study meets both criteria of equivalence that more people bear on."""
    alike = study.correlation.low >= margins.corrected_r
    return alike and is_reliable(study, margins)


def shows_shortfall(study: Study, margins: Margins) -> bool:
    """Return whether the interval of a reliable study lies below the margin."""
    short = study.correlation.high < margins.corrected_r
    return short and is_reliable(study, margins)


def is_reliable(study: Study, margins: Margins) -> bool:
    """Return whether both populations are reliable enough; one that is not known never is."""
    return all(one >= margins.reliability for one in study.reliabilities)


def numbers_tried(most: int) -> list[int]:
    """Return the numbers of further people that are tried, rising to `most`."""
    numbers = list(range(1, min(EVERY, most) + 1))
    while numbers[-1] < most:
        numbers.append(min(math.ceil(numbers[-1] * GROWTH), most))
    return numbers


def drawn_truths(known: Estimates, sizes: Sizes, streams: Streams) -> list[Estimates]:
    """
    Draw what may be true, given what a study of today's size shows.

    Agreement within each population is what another study of today's size and kind would
    estimate, so that its error travels into the plan. The correlation stays as it looks, at most
    1: a plan answers what would be shown if the populations are as alike as they look. A truth
    without any agreement within a population is kept, since no study of it would show anything.
    """
    looked = replace(known, correlation=min(known.correlation, 1.0))
    truths = []
    for replicate in range(REPLICATES):
        rng = streams.generator("comparison plan truth", replicate)
        means = drawn_study(rng, looked, sizes).means
        sides = [
            replace(side, mean=mean)
            for side, mean in zip((looked.first, looked.second), means, strict=True)
        ]
        truths.append(replace(looked, first=sides[0], second=sides[1]))
    return truths


def share_shown(
    truths: list[Estimates], sizes: Sizes, shown: Callable[[Study], bool], streams: Streams
) -> float:
    """
    Return the share of drawn studies, one of each truth, that show something.

    Parameters
    ----------
    truths : list of Estimates
    sizes : (int, int)
        People of the first and of the second population.
    shown : callable
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    float
    """
    hits = 0
    for replicate, truth in enumerate(truths):
        if min(truth.first.mean, truth.second.mean) <= 0.0:
            continue
        rng = streams.generator("comparison plan study", replicate)
        hits += shown(drawn_study(rng, truth, sizes))
    return hits / len(truths)


def fewest(share: Callable[[int], float], most: int) -> Number | None:
    """
    Return the smallest number tried whose share is enough; enough people stay enough.

    Parameters
    ----------
    share : callable
        From a number of further people to the share of studies that show it.
    most : int
        Largest number tried.
    """
    numbers = numbers_tried(most)
    found = {len(numbers) - 1: share(most)}
    low, high = -1, len(numbers) - 1
    if found[high] < ENOUGH:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        found[middle] = share(numbers[middle])
        if found[middle] >= ENOUGH:
            high = middle
        else:
            low = middle
    reached = found[high]
    return Number(numbers[high], reached, math.sqrt(reached * (1.0 - reached) / REPLICATES))


def people_to_settle(
    known: Estimates | None, question: Question, sizes: Sizes, margins: Margins, streams: Streams
) -> Plan:
    """
    Return how many more people would settle a question.

    Parameters
    ----------
    known : Estimates or None
        What the study says; None where nothing can be drawn from it.
    question : str
        As returned by `question_of`.
    sizes : (int, int)
        People of today, of the first and of the second population.
    margins : Margins
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    Plan
        The same whatever the people and the populations are called: draws are made in the order
        of what the populations show.
    """
    most = MOST_FACTOR * max(sizes)
    if question not in PLANNED:
        return Plan(question, None, None, None, most)
    if known is None:
        return Plan("unknown", None, None, None, most)
    if key(known.first) > key(known.second):
        turned = replace(known, first=known.second, second=known.first)
        plan = people_to_settle(turned, question, sizes[::-1], margins, streams)
        return replace(plan, first_only=plan.second_only, second_only=plan.first_only)
    rule = shows_agreement if question == "agreement" else shows_shortfall
    truths = drawn_truths(known, sizes, streams)

    def number(share_a: int, share_b: int) -> Number | None:
        def share(more: int) -> float:
            grown = sizes[0] + share_a * more, sizes[1] + share_b * more
            return share_shown(truths, grown, lambda study: rule(study, margins), streams)

        return fewest(share, most)

    return Plan(question, number(1, 0), number(0, 1), number(1, 1), most)


def key(side: Side) -> tuple[float, ...]:
    """Return what orders populations by what they show and never by a name."""
    return (len(side.people), side.mean, side.spread, *side.people.ravel().tolist())
