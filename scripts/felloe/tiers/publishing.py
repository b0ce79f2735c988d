"""From the chart of the data and the decisions to the rows that are published."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from felloe.errors import StudyError
from felloe.ground.arrays import Floats
from felloe.ground.distances import Distances
from felloe.ground.groups.partition import Partition
from felloe.ground.terms import Terms, check_same
from felloe.tiers.cuts import Tiers
from felloe.tiers.decisions import PRICES, Fit, Publication, Replayed, changes
from felloe.tiers.names import GivenName, GroupName, Naming, fault_of, members_of, name_groups

MOVED = "moved"
TIERS = ("class", "subclass")


@dataclass(frozen=True)
class DataChart:
    """
    The chart of the data, term by term.

    Attributes
    ----------
    labels : mapping of str to str
        The wording of every term.
    tiers : Tiers
    home, rival_probability : (n,) array of float
        Shares of redraws; nan where unknown.
    rival : tuple of str
        Class of each term's second best home, empty for none.
    status : tuple of str
    """

    labels: Mapping[str, str]
    tiers: Tiers
    home: Floats
    rival: tuple[str, ...]
    rival_probability: Floats
    status: tuple[str, ...]

    @property
    def terms(self) -> Terms:
        """The terms of the chart."""
        return self.tiers.terms

    def groups(self, tier: str) -> tuple[str, ...]:
        """Return the id of the group of every term."""
        return (self.tiers.classes if tier == "class" else self.tiers.subclasses).of_terms


@dataclass(frozen=True)
class ClassShares:
    """
    How often terms fall into classes when participants are redrawn.

    Attributes
    ----------
    classes : Partition
        Of the chart of the data.
    shares : (n, K) array of float
        By term and number of the class.
    """

    classes: Partition
    shares: Floats

    def of(self, term: str, of_class: str) -> float:
        """Return the share of replicates in which a term falls into a class."""
        place = self.classes.terms.places([term])[0]
        return float(self.shares[place, self.classes.ids.index(of_class)])


@dataclass(frozen=True)
class NamedChart:
    """
    A chart with the names of its groups.

    Attributes
    ----------
    terms : Terms
    groups : dict of str to tuple of str
        By tier, for every term: the id that its group has in the chart of the data.
    ids : dict of str to tuple of str
        By tier, for every term: the alphabetically first term of its group.
    names : dict of str to dict of str to GroupName
        By tier and the id in the chart of the data.
    """

    terms: Terms
    groups: dict[str, tuple[str, ...]]
    ids: dict[str, tuple[str, ...]]
    names: dict[str, dict[str, GroupName]]

    def name(self, tier: str, place: int) -> str:
        """Return the name of the group of the term at a place."""
        return self.names[tier][self.groups[tier][place]].name

    def absorbed(self, place: int) -> bool:
        """Say whether the term at a place has become the name of one of its groups."""
        own = (self.names[tier][self.groups[tier][place]] for tier in TIERS)
        return any(group.absorbs and group.anchor == self.terms[place] for group in own)


def named_charts(
    chart: DataChart,
    publication: Publication,
    given: Sequence[GivenName],
    distances: Distances,
    unfit: str = "refuse",
) -> tuple[NamedChart, NamedChart]:
    """
    Name the groups of the published chart, and carry the names back to that of the data.

    Parameters
    ----------
    chart : DataChart
    publication : felloe.tiers.decisions.Publication
    given : sequence of GivenName
    distances : Distances
    unfit : {"refuse", "propose"}
        See `names.Naming`.

    Returns
    -------
    data_only, published : NamedChart
        A group of the data that was given no name proposes its own most central term.

    Raises
    ------
    StudyError
        If names cannot be given (see `name_groups`), or leave a class without a term on the ring.
    """
    terms = chart.terms
    check_same(terms, distances.terms, "the chart", "the distances")
    check_same(terms, publication.tree.terms, "the chart", "the published tree")
    moved = {terms[place] for place in np.flatnonzero(publication.moved)}
    naming = Naming(chart.labels, distances, moved, unfit)
    published = {"class": publication.classes, "subclass": publication.subclasses}
    data = {tier: chart.groups(tier) for tier in TIERS}
    names = {
        tier: name_groups(tier, published[tier], [n for n in given if n.tier == tier], naming)
        for tier in TIERS
    }
    carried = {
        tier: {
            group: names[tier][group]
            if group in names[tier] and not names[tier][group].proposed
            else naming.proposal(members)
            for group, members in members_of(terms, data[tier]).items()
        }
        for tier in TIERS
    }
    ids = {tier: Partition.of_ids(terms, published[tier]).of_terms for tier in TIERS}
    of_committee = NamedChart(terms, published, ids, names)
    _refuse_empty(of_committee)
    return NamedChart(terms, data, data, carried), of_committee


def _refuse_empty(chart: NamedChart) -> None:
    """Refuse names that absorb every term of a class."""
    left = {group for place, group in enumerate(chart.groups["class"]) if not chart.absorbed(place)}
    for group, name in chart.names["class"].items():
        if group not in left:
            problem = f"and the anchors of subclasses absorb every term of the class '{name.name}'"
            remedy = "Leave `absorbs` empty for one of them, so that the outer ring has a term."
            raise StudyError([fault_of(name.anchor, problem, remedy)])


def tier_rows(chart: DataChart, named: NamedChart) -> Iterator[dict[str, Any]]:
    """Yield a row of `data_only.csv` for every term."""
    for place, term in enumerate(chart.terms):
        yield {
            "term": term,
            "class": named.ids["class"][place],
            "subclass": named.ids["subclass"][place],
            "class_name": named.name("class", place),
            "subclass_name": named.name("subclass", place),
            "home_probability": float(chart.home[place]),
            "rival_class": chart.rival[place],
            "rival_probability": float(chart.rival_probability[place])
            if chart.rival[place]
            else None,
            "status": chart.status[place],
        }


def published_rows(
    chart: DataChart, named: NamedChart, publication: Publication, shares: ClassShares
) -> Iterator[dict[str, Any]]:
    """
    Yield a row of `published.csv` for every term.

    A moved term's home is the class that the committee chose; its rival is that of the data.

    Parameters
    ----------
    chart : DataChart
    named : NamedChart
        The published one.
    publication : Publication
    shares : ClassShares
    """
    published_id = dict(zip(named.groups["class"], named.ids["class"]))
    for place, row in enumerate(tier_rows(chart, named)):
        term, own, of_data = row["term"], publication.classes[place], chart.groups("class")[place]
        if publication.moved[place]:
            row["status"] = MOVED
        if own != of_data:
            row["home_probability"] = shares.of(term, own)
            row["rival_class"], row["rival_probability"] = of_data, float(chart.home[place])
        # a class that all terms have left is nobody's rival
        row["rival_class"] = published_id.get(row["rival_class"], "")
        row["rival_probability"] = row["rival_probability"] if row["rival_class"] else None
        yield {**row, "absorbed": named.absorbed(place)}


def group_rows(
    which: str, named: NamedChart, jaccards: Mapping[frozenset[str], float]
) -> Iterator[dict[str, Any]]:
    """
    Yield a row of `groups.csv` for each group of a chart, classes first.

    Parameters
    ----------
    which : {'data_only', 'published'}
    named : NamedChart
    jaccards : mapping of frozenset of str to float
        Support of groups of terms, where the tree of the data has them.
    """
    for tier in TIERS:
        for own, members in members_of(named.terms, named.ids[tier]).items():
            first = named.terms.index(own)
            name = named.names[tier][named.groups[tier][first]]
            yield {
                "chart": which,
                "tier": tier,
                "id": own,
                "parent": named.ids["class"][first] if tier == "subclass" else "",
                "name": name.name,
                "proposed": name.proposed,
                "anchor": name.anchor,
                "n_terms": len(members),
                "jaccard": jaccards.get(frozenset(members)),
            }


def decision_rows(replayed: Iterable[Replayed], shares: ClassShares) -> Iterator[dict[str, Any]]:
    """
    Yield a row of `decisions.csv` for each decision: what became of it and what it costs.

    Parameters
    ----------
    replayed : iterable of Replayed
    shares : ClassShares
    """
    for step, one in enumerate(replayed, 1):
        row: dict[str, Any] = {
            "step": step,
            **vars(one.decision),
            "status": one.status,
            "note": one.note,
        }
        for when, place in (("before", one.before), ("after", one.after)):
            value = shares.of(one.decision.term, place.of_class) if place else float("nan")
            row[f"class_{when}"] = place.of_class if place else ""
            row[f"subclass_{when}"] = place.of_subclass if place else ""
            row[f"home_probability_{when}"] = value
        yield {**row, **prices(one.fit_before, one.fit_after)}


def prices(before: Fit | None, after: Fit | None) -> dict[str, float | None]:
    """Return what a decision changes; empty cells for a void one."""
    change = changes(before, after) if before and after else {}
    row: dict[str, float | None] = {}
    for price in PRICES:
        one, other = (getattr(fit, price) if fit else None for fit in (before, after))
        row |= {
            f"{price}_before": one,
            f"{price}_after": other,
            f"{price}_change": change.get(price),
        }
    return row
