"""Which colour each class, subclass and term gets, from what, and how far from what was picked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, NamedTuple

import numpy as np

from felloe.colours.contrast import WHITE, contrast_ratio, outline_colour, text_colour
from felloe.colours.difference import ciede2000
from felloe.colours.palette import nearest_separated, separated_palette, shades, tint
from felloe.colours.picks import TOO_FEW, Pick, PickSummary, TwoGroups, summarise_picks
from felloe.colours.spaces import lab_of_hex
from felloe.colours.vision import DEFICIENCIES, seen_labs

SPREAD_DECIMALS = 1  # of what is told: with six, the pick of one beside three equal ones follows
Tier = Literal["class", "subclass", "term"]
# Why a colour is what it is; `felloe.colours.words` says it in sentences.
Reason = Literal[
    "as_picked",
    "separated",
    "partly_separated",
    "palette",
    "palette_few",
    "shade",
    "tint_unpicked",
    "tint_few",
    "tint_two_groups",
    "tint_far",
]


@dataclass(frozen=True)
class ColourRules:
    """
    The settings behind the colours; differences are CIEDE2000.

    Parameters
    ----------
    minimum_delta_e : float
        Two classes closer than this are told apart by the smallest adjustment.
    minimum_delta_e_simulated : float
        The same for neighbouring classes under each simulated colour-vision deficiency.
    term_delta_e : float
        A term keeps its own pick up to this difference from its subclass.
    two_groups : TwoGroups
    least : int
        People behind a picked colour. What fewer people picked for a term counts nowhere: else it
        would follow from what its group has beyond its other terms.
    """

    minimum_delta_e: float
    minimum_delta_e_simulated: float
    term_delta_e: float
    two_groups: TwoGroups
    least: int


class Place(NamedTuple):
    """Where a term belongs: the ids of the term, its subclass and its class."""

    term: str
    subclass: str
    class_: str


@dataclass(frozen=True)
class Chosen:
    """
    One colour of the chart: what was picked, what is used, and why.

    Attributes
    ----------
    tier : Tier
    term : str
        Id within the tier.
    used : str
        `#rrggbb`.
    reason : Reason
    summary : PickSummary
    shade, n_shades : int or None
        Of a subclass: its place among the shades of its class, from 1 (dark), and their number.
    delta_e_subclass : float or None
        Of a term with a pick that stands for it: CIEDE2000 of the pick from its subclass.
    """

    tier: Tier
    term: str
    used: str
    reason: Reason
    summary: PickSummary
    shade: int | None = None
    n_shades: int | None = None
    delta_e_subclass: float | None = None


def choose_colours(
    ring: Sequence[Place],
    absorbed: Sequence[Place],
    picks: Mapping[str, Sequence[Pick]],
    rules: ColourRules,
) -> list[Chosen]:
    """
    Choose the colours of a chart.

    Parameters
    ----------
    ring : sequence of Place
        In order around the circle.
    absorbed : sequence of Place
        Terms that gave their group its name and have left the ring; their picks count.
    picks : mapping of str to sequence of Pick
        Term to the colours picked for it.
    rules : ColourRules

    Returns
    -------
    list of Chosen
        Classes, subclasses, terms; each sorted by id.
    """
    everyone = [Place(*place) for place in (*ring, *absorbed)]
    terms_of: dict[Tier, dict[str, list[str]]] = {"class": {}, "subclass": {}}
    for place in everyone:
        terms_of["class"].setdefault(place.class_, []).append(place.term)
        terms_of["subclass"].setdefault(place.subclass, []).append(place.term)
    summaries = {
        tier: {name: summary_of_group(terms, picks, rules.least) for name, terms in groups.items()}
        for tier, groups in terms_of.items()
    }
    classes = choose_classes(summaries["class"], rules)
    colour_of_class = {choice.term: choice.used for choice in classes}
    subclasses = choose_subclasses(everyone, summaries["subclass"], colour_of_class)
    colour_of_subclass = {choice.term: choice.used for choice in subclasses}
    terms = [
        choose_term(
            place.term, colour_of_subclass[place.subclass], picks.get(place.term, ()), rules
        )
        for place in everyone
    ]
    return [
        choice
        for choices in (classes, subclasses, terms)
        for choice in sorted(choices, key=lambda choice: choice.term)
    ]


def summary_of_group(
    terms: Sequence[str], picks: Mapping[str, Sequence[Pick]], least: int
) -> PickSummary:
    """Summarise the picks for the terms of a group, without those of a term with too few."""
    given = [picks[term] for term in terms if picks.get(term)]
    counted = [each for each in given if len({pick.person for pick in each}) >= least]
    if given and not counted:
        return TOO_FEW
    return summarise_picks([pick for each in counted for pick in each], least)


def choose_classes(summaries: Mapping[str, PickSummary], rules: ColourRules) -> list[Chosen]:
    """
    Choose class colours: the middle of the members' picks, else a palette of our own.

    Classes with more picks keep theirs; a later one too close to a settled one is moved as little
    as separates them. Classes without picks get, in ring order, what is farthest from the rest.

    Parameters
    ----------
    summaries : mapping of str to PickSummary
        Class to what the picks for its terms say, in order around the circle.
    rules : ColourRules

    Returns
    -------
    list of Chosen
        In the order of `summaries`.
    """
    ring = list(summaries)
    picked = sorted(
        (name for name in ring if summaries[name].colour),
        key=lambda name: (-(summaries[name].n_picks or 0), name),
    )
    used: dict[str, str] = {}
    reasons: dict[str, Reason] = {}
    for name in picked:
        used[name], reasons[name] = settle(name, summaries[name], ring, used, rules)
    free = [name for name in ring if name not in used]
    for name, colour in zip(free, separated_palette(len(free), sorted(used.values())), strict=True):
        used[name] = colour
        reasons[name] = "palette" if summaries[name].n_picks == 0 else "palette_few"
    return [Chosen("class", name, used[name], reasons[name], summaries[name]) for name in ring]


def settle(
    name: str,
    summary: PickSummary,
    ring: Sequence[str],
    used: Mapping[str, str],
    rules: ColourRules,
) -> tuple[str, Reason]:
    """Return the colour of a class beside those already settled, and the reason."""
    at = ring.index(name)
    beside = {ring[at - 1], ring[(at + 1) % len(ring)]} - {name}
    colour = picked_colour(summary)
    adjusted, attained = nearest_separated(
        colour,
        [used[other] for other in ring if other in used],
        rules.minimum_delta_e,
        rules.minimum_delta_e_simulated,
        [used[other] for other in ring if other in used and other in beside],
    )
    if adjusted == colour:
        return colour, "as_picked"
    return adjusted, "separated" if attained else "partly_separated"


def picked_colour(summary: PickSummary) -> str:
    """Return the middle of picks of which there are enough."""
    if summary.colour is None:
        raise ValueError("nobody picked a colour")
    return summary.colour


def choose_subclasses(
    places: Sequence[Place],
    summaries: Mapping[str, PickSummary],
    colour_of_class: Mapping[str, str],
) -> list[Chosen]:
    """Choose subclass colours: shades of the class hue, darker to lighter around the circle."""
    groups: dict[str, dict[str, None]] = {}
    for place in places:
        groups.setdefault(place.class_, {})[place.subclass] = None
    choices = []
    for class_, subclasses in groups.items():
        ramp = shades(colour_of_class[class_], len(subclasses))
        for at, (subclass, shade) in enumerate(zip(subclasses, ramp, strict=True), start=1):
            chosen = Chosen("subclass", subclass, shade, "shade", summaries[subclass])
            choices.append(replace(chosen, shade=at, n_shades=len(ramp)))
    return choices


def choose_term(
    term: str, subclass_colour: str, picks: Sequence[Pick], rules: ColourRules
) -> Chosen:
    """Choose a term's colour: its own pick where that is near its subclass, else a tint."""
    summary = summarise_picks(picks, rules.least, rules.two_groups)
    pale = tint(subclass_colour)
    if not picks:
        return Chosen("term", term, pale, "tint_unpicked", summary)
    if summary.bimodal:
        return Chosen("term", term, pale, "tint_two_groups", summary)
    if summary.colour is None:
        return Chosen("term", term, pale, "tint_few", summary)
    pick = summary.colour
    away = delta_e(pick, subclass_colour)
    if away <= rules.term_delta_e:
        return Chosen("term", term, pick, "as_picked", summary, delta_e_subclass=away)
    return Chosen("term", term, pale, "tint_far", summary, delta_e_subclass=away)


def delta_e(first: str, second: str) -> float:
    """Return the CIEDE2000 difference of two colours."""
    return float(ciede2000(*lab_of_hex([first, second])))


def measure(
    choices: Sequence[Chosen], ring_order: Mapping[Tier, Sequence[str]]
) -> list[dict[str, Any]]:
    """
    Measure each chosen colour: adjustment, legibility, and distance from its neighbours.

    Parameters
    ----------
    choices : sequence of Chosen
    ring_order : mapping of str to sequence of str
        For each tier the ids in order around the circle; ids beside them are not on the ring.

    Returns
    -------
    list of dict
        One per choice, in its order, keyed by the columns of `felloe.colours.tables.COLOURS`;
        absent numbers are None. For classes the smallest differences are over all pairs
        (`min_delta_e_pair`, `min_delta_e_simulated`), otherwise the latter is over the two
        neighbours.
    """
    used = {(choice.tier, choice.term): choice.used for choice in choices}
    distances = {tier: ring_distances(tier, ids, used) for tier, ids in ring_order.items()}
    return [
        {**measured(choice), **distances[choice.tier].get(choice.term, NO_DISTANCES)}
        for choice in choices
    ]


def measured(choice: Chosen) -> dict[str, Any]:
    """Return what can be measured on one colour alone."""
    summary = choice.summary
    text, ratio = text_colour(choice.used)
    outline = outline_colour(choice.used)
    return {
        "tier": choice.tier,
        "term": choice.term,
        "picked": summary.colour,
        "used": choice.used,
        "delta_e_2000": delta_e(summary.colour, choice.used) if summary.colour else None,
        "n_picks": summary.n_picks,
        "reason": choice.reason,
        "shade": choice.shade,
        "n_shades": choice.n_shades,
        "delta_e_subclass": choice.delta_e_subclass,
        "text_colour": text,
        "contrast_ratio": ratio,
        "spread": round(summary.spread, SPREAD_DECIMALS),
        "bimodal": summary.bimodal,
        "second_picked": summary.second,
        "outline": outline,
        "paper_contrast": contrast_ratio(outline, WHITE),
    }


NO_DISTANCES: dict[str, float | str | None] = dict.fromkeys(
    ("min_delta_e_neighbour", "min_delta_e_pair", "min_delta_e_simulated", "hardest_vision")
)


def ring_distances(
    tier: Tier, ids: Sequence[str], used: Mapping[tuple[Tier, str], str]
) -> dict[str, dict[str, float | str | None]]:
    """Return the smallest differences of each colour of one ring from the others on it."""
    if len(ids) < 2:
        return {}
    views = seen_labs([used[tier, name] for name in ids])
    count = len(ids)
    following, before = np.roll(views, -1, axis=1), np.roll(views, 1, axis=1)
    beside = np.minimum(ciede2000(views, following), ciede2000(views, before))
    pairs = None
    if tier == "class":
        pairs = ciede2000(views[:, :, None, :], views[:, None, :, :])
        pairs[:, np.arange(count), np.arange(count)] = np.inf
    result: dict[str, dict[str, float | str | None]] = {}
    for at, name in enumerate(ids):
        simulated = beside[1:, at] if pairs is None else pairs[1:, at].min(axis=1)
        result[name] = {
            "min_delta_e_neighbour": float(beside[0, at]),
            "min_delta_e_pair": None if pairs is None else float(pairs[0, at].min()),
            "min_delta_e_simulated": float(simulated.min()),
            "hardest_vision": list(DEFICIENCIES)[int(np.argmin(simulated))],
        }
    return result
