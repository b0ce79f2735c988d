"""How each term of one edition stands to those of the next: what was declared, and what follows."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field

from felloe.ground.files.tables import Row
from felloe.validation import relations
from felloe.validation.relations import ONE_TO_ONE

EXACT, RENAMED, REDEFINED = relations.EXACT, relations.RENAMED, relations.REDEFINED
SPLIT, MERGED = relations.SPLIT, relations.MERGED
RETIRED, NEW = relations.RETIRED, relations.NEW
# where a link is said: in crosswalk.csv, in a column of terms.csv, by one id in both editions, or
# nowhere, so that the term is new or retired
DECLARED, FORMER, SAME_ID, NOWHERE = "crosswalk", "renamed_from", "same_id", "nowhere"


@dataclass(frozen=True)
class Link:
    """
    How terms of an older edition stand to terms of a newer one.

    Attributes
    ----------
    older, newer : tuple of str
        Ids. Of a retired term `newer` is what to use instead, if anybody said so.
    relation : {"exact", "renamed", "redefined", "split", "merged", "retired", "new"}
    reason : str
    source : {"crosswalk", "renamed_from", "same_id", "nowhere"}
        Where it is said; two links that say the same are equal wherever they say it.
    """

    older: tuple[str, ...]
    newer: tuple[str, ...]
    relation: str
    reason: str = ""
    source: str = field(default=DECLARED, compare=False)

    @property
    def is_one_to_one(self) -> bool:
        """Whether indices, tests and matrices are computed on it."""
        return self.relation in ONE_TO_ONE

    @property
    def claimed(self) -> tuple[str, ...]:
        """The newer terms whose past the link tells."""
        return () if self.relation == RETIRED else self.newer


def by_term(rows: Iterable[Row]) -> dict[str, Row]:
    """Return the rows of a table by their terms."""
    return {row["term"]: row for row in rows}


def all_links(
    older: Mapping[str, Row], newer: Mapping[str, Row], declared: Iterable[Link]
) -> list[Link]:
    """
    Link every term of two editions.

    What nobody declared follows from `renamed_from` and from the ids: one id in both is the same
    term, an id in one edition alone is retired or new.

    Parameters
    ----------
    older, newer : dict of str to dict
        Term to its row of the study's table of terms.
    declared : iterable of Link
        Without a fault, see `link_faults`.

    Returns
    -------
    list of Link
        Each older and each newer term is in one of them; sorted by the newer ids, then by the
        older ones, retired terms last.
    """
    links = list(declared)
    was = {term for link in links for term in link.older}
    now = {term for link in links for term in link.claimed}
    for term, row in newer.items():
        if row["renamed_from"] not in ("", term) and term not in now:
            links.append(Link((row["renamed_from"],), (term,), RENAMED, source=FORMER))
            was.add(row["renamed_from"])
            now.add(term)
    for term in newer:
        if term in now:
            continue
        if term in older and term not in was:
            links.append(Link((term,), (term,), EXACT, source=SAME_ID))
            was.add(term)
        else:
            links.append(Link((), (term,), NEW, source=NOWHERE))
    links += [Link((term,), (), RETIRED, source=NOWHERE) for term in older if term not in was]
    return sorted(links, key=lambda link: (not link.claimed, link.claimed, link.older))


def common_pairs(links: Iterable[Link]) -> list[tuple[str, str]]:
    """
    Return the terms that indices, tests and matrices are computed on: those that are one to one.

    Terms that were split or merged stand outside: no column of the one edition's matrices is a
    column of the other's.

    Returns
    -------
    list of (str, str)
        The older and the newer id, sorted by the newer.
    """
    pairs = [(link.older[0], link.newer[0]) for link in links if link.is_one_to_one]
    return sorted(pairs, key=lambda pair: pair[1])


def link_rows(links: Sequence[Link]) -> list[Row]:
    """Return links as rows of the table."""
    return [asdict(link) for link in links]


def links_of(rows: Iterable[Row]) -> list[Link]:
    """Return the links that rows of the table hold."""
    return [Link(**row) for row in rows]
