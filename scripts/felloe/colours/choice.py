"""Which colour each class, subclass and term gets, from what, and how far from what was picked."""

from dataclasses import dataclass

import numpy as np

from felloe.colours.contrast import contrast_ratio, outline_colour, text_colour
from felloe.colours.difference import ciede2000
from felloe.colours.palette import nearest_separated, separated_palette, shades, tint
from felloe.colours.picks import PickSummary, TwoGroups, summarise_picks
from felloe.colours.spaces import lab_of_hex
from felloe.colours.vision import DEFICIENCIES, seen_labs

AS_PICKED = "as picked"
NO_PICKS = "design choice: nobody picked a colour"


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
    """

    minimum_delta_e: float
    minimum_delta_e_simulated: float
    term_delta_e: float
    two_groups: TwoGroups


@dataclass(frozen=True)
class Chosen:
    """One colour of the chart: what was picked, what is used, and why."""

    tier: str
    term: str
    used: str
    reason: str
    summary: PickSummary


def choose_colours(ring, absorbed, picks, rules):
    """
    Choose the colours of a chart.

    Parameters
    ----------
    ring : sequence of (term, subclass, class)
        In order around the circle.
    absorbed : sequence of (term, subclass, class)
        Terms that gave their group its name and have left the ring; their picks count.
    picks : dict of str to list of str
        Term to the colours picked for it.
    rules : ColourRules

    Returns
    -------
    list of Chosen
        Classes, subclasses, terms; each sorted by id.
    """
    everyone = [*ring, *absorbed]
    classes = list(dict.fromkeys(row[2] for row in everyone))
    class_choices = choose_classes(classes, member_picks(everyone, picks, 2), rules)
    colour_of_class = {choice.term: choice.used for choice in class_choices}
    subclass_choices = choose_subclasses(
        everyone, member_picks(everyone, picks, 1), colour_of_class
    )
    colour_of_subclass = {choice.term: choice.used for choice in subclass_choices}
    term_choices = [
        choose_term(term, colour_of_subclass[subclass], picks.get(term, []), rules)
        for term, subclass, _ in everyone
    ]
    return [
        choice
        for choices in (class_choices, subclass_choices, term_choices)
        for choice in sorted(choices, key=lambda choice: choice.term)
    ]


def member_picks(rows, picks, tier):
    """Return the picks of all terms of each group, `tier` 1 for subclasses and 2 for classes."""
    groups = {}
    for row in rows:
        groups.setdefault(row[tier], []).extend(picks.get(row[0], []))
    return groups


def choose_classes(classes, picks, rules):
    """
    Choose class colours: the medoid of the members' picks, else a palette of our own.

    Classes with more picks keep theirs; a later one too close to a settled one is moved as little
    as separates them. Classes without picks get, in ring order, what is farthest from the rest.
    """
    summaries = {name: summarise_picks(picks[name]) for name in classes}
    picked = sorted(
        (name for name in classes if summaries[name].n_picks),
        key=lambda name: (-summaries[name].n_picks, name),
    )
    used, reasons = {}, {}
    for name in picked:
        used[name], reasons[name] = settle(name, summaries[name].colour, classes, used, rules)
    free = [name for name in classes if name not in used]
    palette = separated_palette(len(free), sorted(used.values()))
    for name, colour in zip(free, palette, strict=True):
        used[name] = colour
        reasons[name] = f"{NO_PICKS}; from a palette computed for greatest separation"
    return [Chosen("class", n, used[n], reasons[n], summaries[n]) for n in classes]


def settle(name, colour, ring, used, rules):
    """Return the colour of a class beside those already settled, and the reason."""
    at = ring.index(name)
    beside = {ring[at - 1], ring[(at + 1) % len(ring)]} - {name}
    others = [used[other] for other in ring if other in used]
    neighbours = [used[other] for other in ring if other in used and other in beside]
    apart, simulated = rules.minimum_delta_e, rules.minimum_delta_e_simulated
    adjusted, attained = nearest_separated(colour, others, apart, simulated, neighbours)
    if adjusted == colour:
        return colour, AS_PICKED
    wanted = f"{apart:g} from every class and {simulated:g} simulated from neighbours"
    if attained:
        return adjusted, f"adjusted to be told from other classes (Delta E {wanted})"
    return adjusted, f"adjusted as far as possible towards Delta E {wanted}; not attained"


def choose_subclasses(rows, picks, colour_of_class):
    """Choose subclass colours: shades of the class hue, darker to lighter around the circle."""
    groups = {}
    for _, subclass, class_ in rows:
        groups.setdefault(class_, {})[subclass] = None
    choices = []
    for class_, subclasses in groups.items():
        ramp = shades(colour_of_class[class_], len(subclasses))
        for place, (subclass, shade) in enumerate(zip(subclasses, ramp, strict=True), start=1):
            reason = f"shade {place} of {len(ramp)} of its class, dark to light around the circle"
            summary = summarise_picks(picks[subclass])
            choices.append(Chosen("subclass", subclass, shade, reason, summary))
    return choices


def choose_term(term, subclass_colour, picks, rules):
    """Choose a term's colour: its own pick where that is near its subclass, else a tint."""
    summary = summarise_picks(picks, rules.two_groups)
    pale = tint(subclass_colour)
    if not summary.n_picks:
        return Chosen("term", term, pale, f"{NO_PICKS}; tint of its subclass", summary)
    if summary.bimodal:
        reason = "picks fall into two groups, so neither stands for the term; tint of its subclass"
        return Chosen("term", term, pale, reason, summary)
    away = float(ciede2000(*lab_of_hex([summary.colour, subclass_colour])))
    if away <= rules.term_delta_e:
        return Chosen("term", term, summary.colour, AS_PICKED, summary)
    reason = (
        f"pick lies Delta E {away:.1f} from its subclass, more than {rules.term_delta_e:g}; "
        "tint of its subclass"
    )
    return Chosen("term", term, pale, reason, summary)


def measure(choices, ring_order):
    """
    Measure each chosen colour: adjustment, legibility, and distance from its neighbours.

    Parameters
    ----------
    choices : list of Chosen
    ring_order : dict of str to list of str
        For each tier the ids in order around the circle; ids beside them are not on the ring.

    Returns
    -------
    list of dict
        One per choice, in its order; absent numbers are None. For classes the smallest differences
        are over all pairs (`min_delta_e_pair`, `min_delta_e_simulated`), otherwise the latter is
        over the two neighbours.
    """
    used = {(choice.tier, choice.term): choice.used for choice in choices}
    distances = {tier: ring_distances(tier, ids, used) for tier, ids in ring_order.items()}
    rows = []
    for choice in choices:
        summary = choice.summary
        text, ratio = text_colour(choice.used)
        outline = outline_colour(choice.used)
        moved = None
        if summary.colour:
            moved = float(ciede2000(*lab_of_hex([summary.colour, choice.used])))
        rows.append(
            {
                "tier": choice.tier,
                "term": choice.term,
                "picked": summary.colour,
                "used": choice.used,
                "delta_e_2000": moved,
                "n_picks": summary.n_picks,
                "reason": choice.reason,
                "text_colour": text,
                "contrast_ratio": ratio,
                "spread": summary.spread,
                "bimodal": summary.bimodal,
                "second_picked": summary.second,
                "outline": outline,
                "paper_contrast": contrast_ratio(outline, "#ffffff"),
                **distances[choice.tier].get(choice.term, {}),
            }
        )
    return rows


def ring_distances(tier, ids, used):
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
    result = {}
    for at, name in enumerate(ids):
        simulated = beside[1:, at] if pairs is None else pairs[1:, at].min(axis=1)
        result[name] = {
            "min_delta_e_neighbour": float(beside[0, at]),
            "min_delta_e_pair": None if pairs is None else float(pairs[0, at].min()),
            "min_delta_e_simulated": float(simulated.min()),
            "hardest_vision": list(DEFICIENCIES)[int(np.argmin(simulated))],
        }
    return result
