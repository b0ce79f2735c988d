"""One edition as its study tells it, and two editions cut down to their common terms."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from felloe.clustering.tree_similarity import joining_heights
from felloe.editions.comparison import Edition
from felloe.editions.linking.links import Link, common_pairs
from felloe.editions.settings import FEWEST_TERMS
from felloe.errors import StudyError
from felloe.ground.distances import Distances
from felloe.ground.files.tables import Row
from felloe.ground.groups.tree import Tree
from felloe.ground.people.sorts import POOLED, Sorts
from felloe.ground.terms import Terms, check_same

TIERS = ("class", "subclass")


@dataclass(frozen=True)
class EditionFiles:
    """
    One edition as its study's results tell it.

    Attributes
    ----------
    study : str
    title, edition, instruction : str
        As the study's own file gives them.
    terms : dict of str to dict
        Term to its row of the table of terms, in the order of the distances.
    charts : dict of str to dict of str to dict
        Chart (`published`, `data_only`), then term, to its row of tiers.
    sorts : Sorts
    distances : Distances
    tree : Tree
    order : tuple of str
        Terms around the published circle; may lack those that became names.
    provisional : bool
        Whether its chart is.
    source, weights : str
        Whose sorts its chart is made from, and how they weigh; see `ChartSource`.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If two of the files are not about the same terms in the same order.
    """

    study: str
    title: str
    edition: str
    instruction: str
    terms: Mapping[str, Row]
    charts: Mapping[str, Mapping[str, Row]]
    sorts: Sorts
    distances: Distances
    tree: Tree
    order: tuple[str, ...]
    provisional: bool
    source: str = POOLED
    weights: str = "plain"

    def __post_init__(self) -> None:
        """Check that all files are about the same terms."""
        known = self.distances.terms
        for terms, of in (
            (self.terms, "terms.csv"),
            (self.sorts.terms, "the sorts"),
            (self.tree.terms, "the tree"),
            *((rows, f"{chart}.csv") for chart, rows in self.charts.items()),
        ):
            check_same(Terms(terms), known, of, "the distances")
        known.places(self.order)

    def cut_down(self, terms: Sequence[str], names: Sequence[str]) -> Edition:
        """
        Return the edition on some of its terms.

        Parameters
        ----------
        terms : sequence of str
            As this study calls them.
        names : sequence of str
            As both editions are to call them.

        Returns
        -------
        Edition
        """
        called = Terms(names)
        name_of = dict(zip(terms, names, strict=True))
        heights = Distances(self.tree.terms, joining_heights(self.tree.Z))
        return Edition(
            sorts=replace(self.sorts.on(terms), terms=called),
            distances=replace(self.distances.on(terms), terms=called),
            heights=replace(heights.on(terms), terms=called),
            groups={
                chart: {tier: tuple(rows[term][tier] for term in terms) for tier in TIERS}
                for chart, rows in self.charts.items()
            },
            order=tuple(name_of[term] for term in self.order if term in name_of),
        )


def common_terms(
    older: EditionFiles, newer: EditionFiles, links: Iterable[Link]
) -> list[tuple[str, str]]:
    """
    Return the terms of two editions that correspond one to one.

    Returns
    -------
    list of (str, str)
        The older and the newer id, sorted by the newer.

    Raises
    ------
    StudyError
        If there are too few.
    ValueError
        If the links are not of these editions.
    """
    known = list(links)
    linked = {term for link in known for term in link.older}
    claimed = {term for link in known for term in link.claimed}
    if linked != set(older.terms) or claimed != set(newer.terms):
        odd = sorted((linked ^ set(older.terms)) | (claimed ^ set(newer.terms)))
        raise ValueError(f"links and editions differ in the terms {odd}")
    pairs = common_pairs(known)
    if len(pairs) < FEWEST_TERMS:
        raise StudyError(
            f"The editions '{older.study}' and '{newer.study}' share {len(pairs)} term(s); a "
            f"comparison needs {FEWEST_TERMS}. Declare renamed terms in the column renamed_from "
            "of the newer terms.csv or in its crosswalk.csv, or take the pair out of `editions`."
        )
    return pairs
