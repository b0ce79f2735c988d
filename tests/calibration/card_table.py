"""
People at a table, with a shuffled deck of cards. HELD OUT: no rule is tuned on it.

Nobody has a partition in mind. Terms lie on a ring of themes, most of them on two, so that one
pile can run over into the next. A person takes card after card and looks which pile it goes with:
with its first card, with the card on top (so chains grow), and with the pile as a whole. Piles out
of sight are overlooked; vague cards go to a pile for the rest; attention falls as the deck goes
down; a full table makes one less strict. Some see a theme of their own. At the end single cards
are tidied away, by those who mind them, and a splitter parts the large piles.
"""

from dataclasses import dataclass, replace

import numpy as np
from calibration.cases import Make, Person
from felloe.ground.arrays import Floats, Ints

N_THEMES = 8
SECOND = (0.0, 0.6)  # weight of a term's second theme; the first has 1
VAGUE = (1.5, 0.12)  # gamma distribution of how hard a term is to place
FAR = 0.3  # likeness below which a theme counts as another one for a term that moves
OWN_WEIGHTS = 0.5  # spread of the logarithm of what each theme is worth to a person
MISREAD, HASTE = 0.3, 0.12  # noise of a likeness for one person, and of one glance at the start
ANCHOR, TOP, WHOLE = 0.35, 0.25, 0.4  # what a card is compared with
OVERLOOKED, IN_SIGHT = 0.2, 5  # chance to overlook a pile that got none of so many last cards
RELAXED = 0.6  # of the strictness, once the table is full
REST = 0.5  # chance that a vague card that goes nowhere is put to the rest, times its vagueness
OWN_THEMES, OWN_SIZES, OWN_PULL = 0.35, (3, 6), 0.6
LARGE = 6  # a splitter parts a pile that holds more than this share (one in ...) of the terms


@dataclass(frozen=True)
class Habit:
    """
    How one kind of person goes about it.

    Attributes
    ----------
    strict : (float, float)
        Likeness asked of a card before it joins a pile: mean and spread.
    full : int
        Piles at which the table is full, give or take two.
    tidies : float
        Chance to tidy a single card away.
    parts : bool
        Whether large piles are parted at the end.
    """

    strict: tuple[float, float]
    full: int
    tidies: float
    parts: bool


HABITS = {
    None: Habit((0.58, 0.08), 13, 0.6, False),
    True: Habit((0.42, 0.06), 7, 0.85, False),
    False: Habit((0.72, 0.06), 22, 0.3, True),
}


@dataclass(frozen=True)
class Deck:
    """
    What the cards mean to everybody.

    Attributes
    ----------
    themes : (n_terms, N_THEMES) array of float
        Weights, of length 1 for every term.
    vague : (n_terms,) array of float
        How hard each term is to place; 0 is clear.
    """

    themes: Floats
    vague: Floats


def deck(rng: np.random.Generator, n_terms: int) -> Deck:
    """Draw the themes of terms: one each, and some of a neighbour on the ring."""
    main = np.concatenate(
        [np.arange(N_THEMES).repeat(2), rng.integers(N_THEMES, size=n_terms - 2 * N_THEMES)]
    )
    weights = np.eye(N_THEMES)[main]
    side = rng.choice([-1, 1, 1], size=n_terms)  # more terms lean one way round
    weights[np.arange(n_terms), (main + side) % N_THEMES] = rng.uniform(*SECOND, size=n_terms)
    weights /= np.linalg.norm(weights, axis=1, keepdims=True)
    return Deck(weights, rng.gamma(*VAGUE, size=n_terms))


def moved_deck(rng: np.random.Generator, known: Deck, terms: Ints) -> Deck:
    """Return a deck in which some terms mean what a term far from them meant."""
    themes = known.themes.copy()
    for term in terms:
        far = np.flatnonzero(known.themes @ known.themes[term] < FAR)
        themes[term] = known.themes[rng.choice(far)]
    return replace(known, themes=themes)


def likeness_seen(rng: np.random.Generator, known: Deck, noise: float) -> Floats:
    """Return how like any two terms look to one person."""
    n_terms = len(known.themes)
    seen = known.themes * np.exp(rng.normal(scale=OWN_WEIGHTS, size=N_THEMES))
    seen /= np.linalg.norm(seen, axis=1, keepdims=True)
    unsure = noise * MISREAD * (0.5 + 2.0 * np.sqrt(np.outer(known.vague, known.vague)))
    error = rng.normal(size=(n_terms, n_terms)) * unsure
    likeness = seen @ seen.T + (error + error.T) / np.sqrt(2.0)
    while rng.random() < OWN_THEMES:
        own = rng.choice(n_terms, size=int(rng.integers(*OWN_SIZES)), replace=False)
        likeness[np.ix_(own, own)] += OWN_PULL
    return likeness


class Table:
    """The piles of one person, as they grow."""

    def __init__(self, likeness: Floats) -> None:
        n_terms = len(likeness)
        self.likeness = likeness
        self.pile_of = np.full(n_terms, -1)
        self.n_piles, self.n_laid = 0, 0
        self.anchors, self.tops, self.touched = (np.zeros(n_terms, dtype=int) for _ in range(3))
        self.sizes, self.sums = np.zeros(n_terms), np.zeros((n_terms, n_terms))

    def looks(self, card: int) -> Floats:
        """Return how well a card goes with each pile."""
        to, piles = self.likeness[card], slice(self.n_piles)
        whole = self.sums[card, piles] / self.sizes[piles]
        return np.asarray(
            ANCHOR * to[self.anchors[piles]] + TOP * to[self.tops[piles]] + WHOLE * whole
        )

    def lay(self, card: int, pile: int) -> None:
        """Put a card on a pile, a new one where it is the next number."""
        if pile == self.n_piles:
            self.anchors[pile] = card
            self.n_piles += 1
        self.n_laid += 1
        self.pile_of[card], self.tops[pile], self.touched[pile] = pile, card, self.n_laid
        self.sizes[pile] += 1
        self.sums[:, pile] += self.likeness[card]


def lay_out(rng: np.random.Generator, table: Table, known: Deck, person: Person) -> Ints:
    """Lay out the whole deck; return the cards left for the rest pile."""
    habit = HABITS[person.lumper]
    strict = rng.normal(*habit.strict)
    full, rest = habit.full + int(rng.integers(-2, 3)), []
    order = rng.permutation(len(known.vague))
    for place, card in enumerate(order):
        goes = table.looks(card)
        tired = 1.0 + place / len(order)
        goes = goes + person.noise * HASTE * tired * rng.normal(size=len(goes))
        hidden = table.n_laid - table.touched[: table.n_piles] >= IN_SIGHT
        goes[hidden & (rng.random(len(goes)) < OVERLOOKED)] = -np.inf
        asked = strict * (RELAXED if table.n_piles >= full else 1.0)
        if len(goes) and goes.max() >= asked:
            table.lay(card, int(goes.argmax()))
        elif rng.random() < REST * known.vague[card] * person.noise:
            rest.append(card)
        else:
            table.lay(card, table.n_piles)
    return np.array(rest, dtype=int)


def tidy(rng: np.random.Generator, table: Table, habit: Habit) -> Ints:
    """Return the piles after the person has gone over them once more."""
    piles, n_terms = table.pile_of.copy(), len(table.pile_of)
    for pile in rng.permutation(table.n_piles):
        cards = np.flatnonzero(piles == pile)
        if len(cards) == 1 and rng.random() < habit.tidies:
            others = np.setdiff1d(piles, [-1, pile])
            if not len(others):
                continue
            near = [table.likeness[cards[0], piles == other].mean() for other in others]
            piles[cards] = others[int(np.argmax(near))] if max(near) > habit.strict[0] / 2 else -1
        elif habit.parts and len(cards) > n_terms / LARGE:
            to = table.likeness[cards]
            second = cards[np.argmin(to[:, table.anchors[pile]])]
            leaves = to[:, second] > to[:, table.anchors[pile]]
            piles[cards[leaves]] = piles.max() + 1
    return piles


def sort_of(rng: np.random.Generator, known: Deck, person: Person) -> Ints:
    """Return one person's piles; the rest, where there is one, is a pile too."""
    table = Table(likeness_seen(rng, known, person.noise))
    lay_out(rng, table, known, person)
    piles = tidy(rng, table, HABITS[person.lumper])
    return np.unique(piles, return_inverse=True)[1]


CARD_TABLE = Make("card table", deck, moved_deck, sort_of)
