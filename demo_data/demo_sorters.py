"""Invented participants: how one of them sees the terms and how they pile them."""

from dataclasses import dataclass

import numpy as np

NOWHERE = "none"
KINSHIP = 0.22  # probability that a participant keeps one set of kin together
BORDER_SHIFT = 0.08  # probability that a border of two classes is moved by one subclass, each way


@dataclass(frozen=True)
class Population:
    """
    How the participants of one invented population sort.

    Parameters
    ----------
    name, label : str
        Id and wording of the population.
    size : int
        Number of careful participants.
    piles_median, piles_spread : float
        Median number of piles aimed at and the spread of its logarithm.
    slips : float
        Mean probability, 0 to 1, that an ordinary term is seen in another place than planted.
    alternative : float
        Probability, 0 to 1, of the other place for the terms that the populations see differently.
    """

    name: str
    label: str
    size: int
    piles_median: float
    piles_spread: float
    slips: float
    alternative: float


@dataclass(frozen=True)
class Lexicon:
    """
    The planted structure of one edition.

    Parameters
    ----------
    terms : tuple of str
        Ids in the order of the source file.
    places : dict of str to str
        Planted place of each term, ``class/subclass``, or ``none``.
    second : dict of str to str
        The other place of the terms that sit between two classes.
    contested : dict of str to str
        The place that one population prefers for the terms it sees differently.
    kin : tuple of tuple of str
        Sets of terms that share something across the classes (dairy, roots, wood ...), which some
        participants sort by instead.
    ring : tuple of str
        Every place, in planted order around the circle; neighbours share an edge of the circle.
    """

    terms: tuple
    places: dict
    second: dict
    contested: dict
    kin: tuple
    ring: tuple

    def classes(self):
        """Return the class ids in planted order around the circle."""
        return tuple(dict.fromkeys(class_of(place) for place in self.ring))


def class_of(place):
    """Return the class part of a place."""
    return place.split("/")[0]


def draw_slip_weights(rng, lexicon):
    """Draw how easily each term is misplaced; 1 is ordinary."""
    return dict(zip(lexicon.terms, rng.gamma(2.5, 0.4, len(lexicon.terms)), strict=True))


def seen_places(rng, lexicon, population, slip_weights):
    """
    Draw where one participant sees each term.

    Parameters
    ----------
    rng : numpy.random.Generator
    lexicon : Lexicon
    population : Population
    slip_weights : dict of str to float
        How easily each term is misplaced; 1 is ordinary.

    Returns
    -------
    dict of str to str
        A place of the ring per term, or ``none`` for a term this participant leaves alone.
    """
    slips = population.slips * rng.uniform(0.4, 1.6)
    seen = {}
    for term in lexicon.terms:
        place = lexicon.places[term]
        if place == NOWHERE:
            anywhere = lexicon.ring[rng.integers(len(lexicon.ring))]
            seen[term] = NOWHERE if rng.random() < 0.3 else anywhere
            continue
        if term in lexicon.second and rng.random() < 0.48:
            place = lexicon.second[term]
        if term in lexicon.contested and rng.random() < population.alternative:
            place = lexicon.contested[term]
        if rng.random() < slips * slip_weights[term]:
            place = _slip(rng, lexicon, place)
        seen[term] = place
    for relatives in lexicon.kin:
        if rng.random() < KINSHIP:
            home = seen[relatives[rng.integers(len(relatives))]]
            seen.update({term: home for term in relatives if home != NOWHERE})
    return seen


def _slip(rng, lexicon, place):
    """Draw a wrong place: a sister subclass, a neighbouring class, or any place at all."""
    classes = lexicon.classes()
    kind = rng.random()
    if kind < 0.35:
        wanted = {class_of(place)}
    elif kind < 0.75:
        position = classes.index(class_of(place))
        step = 1 if rng.random() < 0.5 else -1
        wanted = {classes[(position + step) % len(classes)]}
    else:
        wanted = set(classes)
    candidates = [other for other in lexicon.ring if class_of(other) in wanted]
    return candidates[rng.integers(len(candidates))]


def sort_terms(rng, lexicon, population, slip_weights):
    """
    Let one careful participant sort the terms.

    The participant aims at a number of piles: below the number of classes they join neighbours on
    the ring, above it they take classes apart into subclasses and these into halves.

    Parameters
    ----------
    rng, lexicon, population, slip_weights
        As for `seen_places`.

    Returns
    -------
    dict of str to int
        An arbitrary pile number per term.
    """
    seen = seen_places(rng, lexicon, population, slip_weights)
    spread = np.exp(population.piles_spread * rng.standard_normal())
    wanted = int(np.clip(round(population.piles_median * spread), 5, 30))
    groups = [[p for p in lexicon.ring if class_of(p) == c] for c in lexicon.classes()]
    _shift_borders(rng, groups)
    # some join here and part there, so that the number of piles alone does not give the sort
    for _ in range(rng.integers(0, 3)):
        _join_neighbours(rng, groups)
    while len(groups) > wanted:
        _join_neighbours(rng, groups)
    while len(groups) < wanted and any(len(group) > 1 for group in groups):
        _part_group(rng, groups)
    piles = _fill(lexicon, groups, seen)
    while len(piles) < wanted:
        _part_pile(rng, piles)
    if rng.random() < 0.25:
        _set_leftovers_aside(rng, piles)
    return {term: number for number, pile in enumerate(piles) for term in pile}


def _shift_borders(rng, groups):
    """Let a subclass at the edge of its class go to the neighbour, as people differ on borders."""
    for i in range(len(groups)):
        before, after = groups[i], groups[(i + 1) % len(groups)]
        draw = rng.random()
        if draw < BORDER_SHIFT and len(before) > 1:
            after.insert(0, before.pop())
        elif draw > 1 - BORDER_SHIFT and len(after) > 1:
            before.append(after.pop(0))


def _join_neighbours(rng, groups):
    """Join two groups that are neighbours on the ring; small ones are joined more readily."""
    sizes = np.array([len(group) for group in groups], dtype=float)
    weights = 1.0 / (sizes + np.roll(sizes, -1))
    first = rng.choice(len(groups), p=weights / weights.sum())
    second = (first + 1) % len(groups)
    groups[first] = groups[first] + groups[second]
    del groups[second]


def _part_group(rng, groups):
    """Take one group apart: at a class border if it has one, otherwise off goes a subclass."""
    sizes = np.array([len(group) - 1 for group in groups], dtype=float)
    chosen = rng.choice(len(groups), p=sizes / sizes.sum())
    group = groups[chosen]
    borders = [i for i in range(1, len(group)) if class_of(group[i]) != class_of(group[i - 1])]
    cut = borders[0] if borders else 1 + rng.integers(len(group) - 1)
    groups[chosen : chosen + 1] = [group[:cut], group[cut:]]


def _fill(lexicon, groups, seen):
    """Lay the terms on the groups where they are seen; a term seen nowhere gets its own pile."""
    piles = [[term for term in lexicon.terms if seen[term] in group] for group in groups]
    piles += [[term] for term in lexicon.terms if seen[term] == NOWHERE]
    return [pile for pile in piles if pile]


def _part_pile(rng, piles):
    """Part a pile in two, keeping the order of the source file, where kin stand together."""
    sizes = np.array([max(len(pile) - 1, 0) for pile in piles], dtype=float) ** 2
    chosen = rng.choice(len(piles), p=sizes / sizes.sum())
    pile = piles[chosen]
    cut = 1 + rng.integers(len(pile) - 1)
    piles[chosen : chosen + 1] = [pile[:cut], pile[cut:]]


def _set_leftovers_aside(rng, piles):
    """Move two to four terms onto a pile of leftovers, as a tired participant does."""
    terms = [term for pile in piles for term in pile]
    leftovers = [terms[i] for i in rng.choice(len(terms), size=rng.integers(2, 5), replace=False)]
    for pile in piles:
        pile[:] = [term for term in pile if term not in leftovers]
    piles[:] = [pile for pile in piles if pile] + [leftovers]


def follow_order(rng, order, piles=12):
    """Pile the terms in the order shown, a run at a time: the careless participant's way."""
    cuts = np.sort(rng.choice(np.arange(1, len(order)), size=piles - 1, replace=False))
    return {term: int(np.searchsorted(cuts, i, side="right")) for i, term in enumerate(order)}


def leave_unplaced(rng, sort, share):
    """Return the sort with a share of its terms, drawn at random, on no pile (`None`)."""
    terms = list(sort)
    dropped = rng.choice(len(terms), size=round(share * len(terms)), replace=False)
    return {term: None if i in dropped else sort[term] for i, term in enumerate(terms)}


def numbered(sort, order):
    """Number the piles in the order in which they were begun; None stays where a term was left."""
    begun = {}
    return {
        term: None if sort[term] is None else begun.setdefault(sort[term], len(begun) + 1)
        for term in order
    }
