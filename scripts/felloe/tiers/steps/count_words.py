"""Step: people's own words for their piles, as candidates for the names of groups."""

from collections.abc import Iterator

from felloe.ground.files.tables import Row
from felloe.tiers.tables import PLACES, WORDS
from felloe.tiers.word_counts import FEWEST, candidates
from felloe.tiers.word_rows import groups_by_tier, named_piles
from felloe.validation.analysed import read_analysed
from felloe.validation.tables import PILE_WORDS


def main(*, analysed: str, pile_words: str, places: str, smallest_cell: int, words: str) -> None:
    """Read, count, write."""
    piles = named_piles(read_analysed(analysed), PILE_WORDS.read(pile_words))

    def rows() -> Iterator[Row]:
        for tier, groups in groups_by_tier(PLACES.read(places)).items():
            for one in candidates(piles, groups, max(FEWEST, smallest_cell)):
                yield {"tier": tier, **vars(one)}

    WORDS.write(words, list(rows()))
