"""What became of each term and each class from one edition to the next."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.editions.correspondence import (
    GRADES,
    MOVED,
    NO_CORRESPONDENCE,
    NONE,
    AgainstChance,
    Bounds,
    Correspondence,
    class_mapping,
    grade_migration,
)
from felloe.editions.edition import EditionFiles
from felloe.editions.linking.links import (
    EXACT,
    MERGED,
    NEW,
    REDEFINED,
    RENAMED,
    RETIRED,
    SPLIT,
    Link,
)
from felloe.ground.files.tables import Row

KEPT = "kept"
COMMON = (KEPT, RENAMED, REDEFINED)  # one to one: the terms that everything is computed on
CHANGES = (*COMMON, SPLIT, MERGED, NEW, RETIRED)


@dataclass(frozen=True)
class Fate:
    """
    What became of one term: a row of the editions' `terms.csv`, None where nothing can be said.

    Attributes
    ----------
    term : str
        The newer edition's id, or the older one's for a retired term.
    change : {"kept", "renamed", "redefined", "split", "merged", "new", "retired"}
    class_older, class_newer, subclass_older, subclass_newer : str or None
        Where each edition publishes the term; of merged terms all, joined by `;`.
    migration : {"none", "robust", "possible", "noise", "no_correspondence"}
    term_older, label, label_older, class_name_older, class_name_newer : str or None
    relation : {"stayed", "split", "merged", "moved", "no_correspondence"} or None
        How the classes of a common term stand to each other.
    probability_older, probability_newer : float or None
        Bootstrap probability of the published class, 0 to 1.
    decided_older, decided_newer : bool or None
        Whether a committee placed the term.
    placed_differently_p : float or None
        Of the test whether the people of both editions place a common term differently, beyond
        granularity and noise, whatever the classes.
    reason : str
        As `crosswalk.csv` gives it.
    instead : tuple of str
        Newer terms to use instead of a retired one, as `crosswalk.csv` says.
    label_instead : str or None
    heir, heir_name : str or None
        Newer class that the class of a retired term became or is a part of.
    """

    term: str
    change: str
    class_older: str | None = None
    class_newer: str | None = None
    migration: str = NONE
    term_older: str | None = None
    label: str | None = None
    label_older: str | None = None
    class_name_older: str | None = None
    class_name_newer: str | None = None
    subclass_older: str | None = None
    subclass_newer: str | None = None
    relation: str | None = None
    probability_older: float | None = None
    probability_newer: float | None = None
    decided_older: bool | None = None
    decided_newer: bool | None = None
    placed_differently_p: float | None = None
    reason: str = ""
    instead: tuple[str, ...] = ()
    label_instead: str | None = None
    heir: str | None = None
    heir_name: str | None = None

    @property
    def is_common(self) -> bool:
        """Whether the term is one to one in both editions."""
        return self.change in COMMON


@dataclass(frozen=True)
class ClassPair:
    """
    How two published classes that share a term stand to each other.

    Attributes
    ----------
    older, older_name, newer, newer_name : str
        Ids and names.
    n_older, n_newer, n_shared : int
        Common terms of each, and of both.
    jaccard, jaccard_expected, p : float
        See `AgainstChance`.
    relation : str
        See `Correspondence.relation`.
    mapping : str
        See `class_mapping`.
    """

    older: str
    older_name: str
    newer: str
    newer_name: str
    n_older: int
    n_newer: int
    n_shared: int
    jaccard: float
    jaccard_expected: float
    p: float
    relation: str
    mapping: str


def class_probability(row: Row) -> float:
    """
    Return the bootstrap probability of the class that a term is published in, 0 to 1.

    A term that the committee moved does not stand in its home class; what the sorts say for its
    published class is then the rival's probability, or nothing.
    """
    if row["status"] != "moved":
        return float(row["home_probability"])
    if row["rival_class"] == row["class"]:
        return float(row["rival_probability"])
    return 0.0


def term_fates(
    older: EditionFiles,
    newer: EditionFiles,
    links: Iterable[Link],
    correspondence: Correspondence,
    bounds: Bounds,
    placed_differently: Mapping[str, float],
) -> list[Fate]:
    """
    Tell the fate of every term of both editions.

    Parameters
    ----------
    older, newer : EditionFiles
    links : iterable of Link
        Of every term of both.
    correspondence : Correspondence
        Of the published classes.
    bounds : Bounds
    placed_differently : dict of str to float
        p of each common term, by the newer edition's ids.

    Returns
    -------
    list of Fate
        The newer edition's terms in sorted order, then the retired ones.
    """
    fates = []
    for link in links:
        if link.relation == RETIRED:
            fates += [retired((older, newer), term, link, correspondence) for term in link.older]
            continue
        for term in link.newer:
            now = {"label": newer.terms[term]["label"], "reason": link.reason}
            now |= side("newer", newer, term)
            if link.is_one_to_one:
                grading = correspondence, bounds, placed_differently[term]
                fates.append(one_to_one(older, link, now, *grading))
            elif link.relation == NEW:
                fates.append(Fate(term, NEW, **now))
            else:
                fates.append(aside(older, link, term, now, correspondence))
    return sorted(fates, key=lambda fate: (fate.change == RETIRED, fate.term))


def retired(
    editions: tuple[EditionFiles, EditionFiles],
    term: str,
    link: Link,
    correspondence: Correspondence,
) -> Fate:
    """Tell the fate of a term that the newer edition has no more, and where it leads."""
    older, newer = editions
    label, place = older.terms[term]["label"], side("older", older, term)
    told = {"label": label, "label_older": label, "term_older": term, "reason": link.reason}
    heir = correspondence.heir(place["class_older"])
    named = {row["class"]: row["class_name"] for row in newer.charts["published"].values()}
    return Fate(
        term,
        RETIRED,
        instead=link.newer,
        label_instead=joined((newer.terms[each]["label"] for each in link.newer), "; ") or None,
        heir=heir,
        heir_name=named[heir] if heir else None,
        **told,
        **place,
    )


def one_to_one(
    older: EditionFiles,
    link: Link,
    now: Mapping[str, Any],
    correspondence: Correspondence,
    bounds: Bounds,
    placed_differently_p: float,
) -> Fate:
    """Tell the fate of a term that both editions have; `now` is what the newer one says of it."""
    (old,), (term,) = link.older, link.newer
    found = {**now, **side("older", older, old)}
    relation = correspondence.relation(found["class_older"], found["class_newer"])
    probable = found["probability_older"], found["probability_newer"]
    return Fate(
        term,
        KEPT if link.relation == EXACT else link.relation,
        label_older=older.terms[old]["label"],
        term_older=old,
        relation=relation,
        migration=grade_migration(relation, *probable, bounds),
        placed_differently_p=placed_differently_p,
        **found,
    )


def aside(
    older: EditionFiles,
    link: Link,
    term: str,
    now: Mapping[str, Any],
    correspondence: Correspondence,
) -> Fate:
    """
    Tell the fate of one newer term that is not one to one with an older one.

    It stands outside every index and is not graded. How its class stands to the older ones is
    told by the other terms, if all of those classes say the same.
    """
    places = [side("older", older, old) for old in link.older]
    there: dict[str, Any] = {
        name: joined((place[name] for place in places), "; " if "name" in name else ";")
        for name in ("class_older", "class_name_older", "subclass_older")
    }
    there["decided_older"] = any(place["decided_older"] for place in places)
    if len(places) == 1:
        there["probability_older"] = places[0]["probability_older"]
    ways = {
        relation_of_classes(correspondence, place["class_older"], now["class_newer"])
        for place in places
    }
    return Fate(
        term,
        link.relation,
        label_older=joined((older.terms[old]["label"] for old in link.older), "; "),
        term_older=joined(link.older),
        relation=ways.pop() if len(ways) == 1 else None,
        **now,
        **there,
    )


def relation_of_classes(found: Correspondence, older: str, newer: str) -> str | None:
    """Return how two classes stand to each other; None if either holds no common term."""
    return found.relation(older, newer) if older in found.older and newer in found.newer else None


def joined(texts: Iterable[str], sign: str = ";") -> str:
    """Return different texts in one cell, in their order."""
    return sign.join(dict.fromkeys(texts))


def side(name: str, edition: EditionFiles, term: str) -> dict[str, Any]:
    """Return what one edition, `older` or `newer`, says of a term's place."""
    row = edition.charts["published"][term]
    return {
        f"class_{name}": row["class"],
        f"class_name_{name}": row["class_name"],
        f"subclass_{name}": row["subclass"],
        f"probability_{name}": class_probability(row),
        f"decided_{name}": row["status"] == "moved",
    }


def class_pairs(
    fates: Iterable[Fate], correspondence: Correspondence, chance: AgainstChance
) -> list[ClassPair]:
    """
    Tell how the published classes of two editions stand to each other.

    Two classes without correspondence are mapped as related, whatever they happen to share.

    Returns
    -------
    list of ClassPair
        One for each two classes that share a term, by the older and then the newer id.
    """
    members: dict[tuple[str, str], set[str]] = defaultdict(set)
    names: dict[tuple[str, str], str] = {}
    shared = set()
    for fate in fates:
        if fate.is_common:
            a, b = str(fate.class_older), str(fate.class_newer)
            members["older", a].add(fate.term)
            members["newer", b].add(fate.term)
            names["older", a] = str(fate.class_name_older)
            names["newer", b] = str(fate.class_name_newer)
            shared.add((a, b))
    found = []
    for a, b in sorted(shared):
        of_older, of_newer = members["older", a], members["newer", b]
        place = correspondence.older.index(a), correspondence.newer.index(b)
        relation = correspondence.relation(a, b)
        mapping = str(class_mapping(of_older, of_newer))
        found.append(
            ClassPair(
                older=a,
                older_name=names["older", a],
                newer=b,
                newer_name=names["newer", b],
                n_older=len(of_older),
                n_newer=len(of_newer),
                n_shared=len(of_older & of_newer),
                jaccard=float(chance.jaccard[place]),
                jaccard_expected=float(chance.expected[place]),
                p=float(chance.p_values[place]),
                relation=relation,
                mapping="related" if relation == NO_CORRESPONDENCE else mapping,
            )
        )
    return found


def change_counts(fates: Sequence[Fate]) -> dict[str, int]:
    """
    Return how many terms came to each change.

    Returns
    -------
    dict of str to int
        common, and each of `CHANGES`: kept, renamed and redefined are the common ones. Whatever
        became of older terms is counted in these: so are `split` and `merged`, and `split_into`
        and `merged_into` count the newer terms that they became.
    """
    counts = Counter(fate.change for fate in fates)
    divided = {fate.term_older for fate in fates if fate.change == SPLIT}
    joined_up = [str(fate.term_older).split(";") for fate in fates if fate.change == MERGED]
    return {
        "common": sum(counts[change] for change in COMMON),
        **{change: counts[change] for change in CHANGES},
        SPLIT: len(divided),
        "split_into": counts[SPLIT],
        MERGED: sum(map(len, joined_up)),
        "merged_into": counts[MERGED],
    }


def migration_counts(fates: Sequence[Fate]) -> dict[str, int]:
    """Return how many common terms came to each grade, and how many moves were decided."""
    common = [fate for fate in fates if fate.is_common]
    grades = Counter(fate.migration for fate in common)
    decided = sum(
        bool(fate.decided_older or fate.decided_newer) for fate in common if fate.relation == MOVED
    )
    return {**{grade: grades[grade] for grade in GRADES}, "moved_by_decision": decided}
