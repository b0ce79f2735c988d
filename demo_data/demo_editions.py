"""What differs between the two invented studies: sizes, wording, and who was careless."""

from dataclasses import dataclass

from demo_sorters import Population

CAUTIONS = (
    "Spoilage in a ferment is judged by those trained to judge it, not by tasting.",
    "Nobody tastes what grew mould or swells its lid.",
)


@dataclass(frozen=True)
class Edition:
    """
    One invented study.

    Parameters
    ----------
    year : int
    study, title, instruction : str
        Folder name, title and the sorting instruction, word for word.
    populations : tuple of demo_sorters.Population
    careless : tuple of str
        Ways of careless participants: ``one_pile``, ``all_apart``, ``follows_order``.
    incomplete : tuple of float
        Share of terms left unplaced by each participant with an incomplete sort.
    duplicated : int
        Number of submissions that were received twice under two ids.
    """

    year: int
    study: str
    title: str
    instruction: str
    populations: tuple
    careless: tuple
    incomplete: tuple
    duplicated: int


EDITIONS = (
    Edition(
        year=2016,
        study="brine-2016",
        title="Words for fermented vegetables, first edition (invented data)",
        instruction=(
            "Put together what belongs together when you taste. "
            "Make as many piles as you need; a pile may hold a single card. "
            "There is no right answer."
        ),
        populations=(
            Population("judges", "Judges of the guild's shows", 17, 16, 0.34, 0.18, 0.0),
            Population("makers", "Makers of fermented vegetables", 34, 12, 0.38, 0.24, 0.0),
        ),
        careless=("follows_order",),
        incomplete=(0.08,),
        duplicated=0,
    ),
    Edition(
        year=2026,
        study="brine-2026",
        title="Words for fermented vegetables, second edition (invented data)",
        instruction=(
            "Put together what belongs together when you taste. "
            "Make as many piles as you need; a pile may hold a single card. "
            "Leave a card aside if you do not know the word. There is no right answer."
        ),
        populations=(
            Population("panel", "Trained panel", 22, 17, 0.34, 0.15, 0.1),
            Population("makers", "Makers of fermented vegetables", 48, 12, 0.45, 0.20, 0.5),
        ),
        careless=("one_pile", "all_apart", "follows_order"),
        incomplete=(0.06, 0.11),
        duplicated=1,
    ),
)
