"""Where a study of partial sorts lies among simulated ones, in a sentence."""

from collections.abc import Sequence

from felloe.matrices.recovery import Place, Simulated, of_one_kind, where_it_lies

CARELESS = (0.1, 0.3, 0.5)  # shares astray that are told side by side
EACH, PRIOR = 60, 1.0  # of the simulated studies that a study is held against
USUAL = 0.3  # share astray that a consequence is drawn for: the care that plans assume
BACK = 0.9  # adjusted Rand index from which groups are said to come back; rule of thumb, no source
HEAD = (
    "In the median {observers:g} people placed both terms of a pair. What that many give back was "
    "simulated: {terms} terms in {classes} classes of {subclasses} subclasses, {each} before each "
    "person, {runs} studies of every size; 1 means that all groups came back, 0 what chance gives "
    "(adjusted Rand index)."
)
AT = "{classes:.2f} for the classes and {subclasses:.2f} for the subclasses with {observers:.1f}"
WITH = "Where a person puts {astray:.0%} of the terms into a pile at random: {found}."
BELOW = "fewer people a pair than were simulated, so less than {found}"
ABOVE = "more people a pair than were simulated, so at least {found}"
NEITHER = (
    "So many people a pair leave classes and subclasses in doubt even where everybody sorts with "
    "usual care ({astray:.0%} astray): take groups from here only with their supports, or ask more "
    "people."
)
CLASSES = (
    "So many people a pair carry classes where everybody sorts with usual care ({astray:.0%} "
    "astray), but hardly subclasses: read these with their supports, or ask more people."
)
BOTH = (
    "So many people a pair carry classes and subclasses where everybody sorts with usual care "
    "({astray:.0%} astray): a group without support is then hardly for want of people."
)
CAUTION = (
    "How careless the people of this study were is not known from this table; it shows what so "
    "many observers can carry, not what these sorts did."
)


def where_sentences(observers: float, simulated: Sequence[Simulated]) -> list[str]:
    """
    Return where a study lies on the table of simulated studies.

    Parameters
    ----------
    observers : float
        Median over the pairs of terms of the people who placed both.
    simulated : sequence of Simulated
        As `recovery_tables.simulated_studies` returns them.
    """
    kinds = {one: of_one_kind(simulated, one, EACH, PRIOR) for one in CARELESS}
    example = kinds[CARELESS[0]][0]
    head = HEAD.format(
        observers=observers,
        terms=example.terms,
        classes=example.classes,
        subclasses=example.subclasses // example.classes,
        each=example.terms_each,
        runs=example.runs,
    )
    places = {one: place_words(where_it_lies(observers, kind)) for one, kind in kinds.items()}
    return [head, *(WITH.format(astray=one, found=said) for one, said in places.items()), CAUTION]


def what_follows(observers: float, simulated: Sequence[Simulated]) -> str:
    """
    Return what follows from a study's place, by the nearest simulated one with fewer observers.

    Parameters
    ----------
    observers, simulated
        As for `where_sentences`.
    """
    held = where_it_lies(observers, of_one_kind(simulated, USUAL, EACH, PRIOR)).below
    if held is None or held.class_rand < BACK:
        return NEITHER.format(astray=USUAL)
    return (CLASSES if held.subclass_rand < BACK else BOTH).format(astray=USUAL)


def place_words(place: Place) -> str:
    """Return what the nearest simulated studies gave back."""
    if place.below is None and place.above is not None:
        return BELOW.format(found=at(place.above))
    if place.above is None and place.below is not None:
        return ABOVE.format(found=at(place.below))
    nearest = [one for one in (place.below, place.above) if one is not None]
    return ", ".join(at(one) for one in dict.fromkeys(nearest))


def at(one: Simulated) -> str:
    """Return what one size of simulated studies gave back."""
    return AT.format(classes=one.class_rand, subclasses=one.subclass_rand, observers=one.observers)
