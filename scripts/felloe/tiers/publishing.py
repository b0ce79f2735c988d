"""From the chart of the data and the decisions to the rows that are published."""

from dataclasses import dataclass

import numpy as np

from felloe.errors import Fault, StudyError
from felloe.ground.contingency import contingencies, match_groups
from felloe.tiers.cuts import first_terms
from felloe.tiers.names import GroupName, central_term, name_groups

MOVED = "moved"
TIERS = ("class", "subclass")


@dataclass(frozen=True)
class Evidence:
    """
    The chart of the data, term by term in sorted order.

    Attributes
    ----------
    terms, words : tuple of str
        Ids and labels.
    classes, subclasses : (n,) array of int
    home, rival_probability : (n,) array of float
        nan where unknown.
    rival : (n,) array of int
        Class label, -1 for none.
    status : tuple of str
    """

    terms: tuple
    words: tuple
    classes: np.ndarray
    subclasses: np.ndarray
    home: np.ndarray
    rival: np.ndarray
    rival_probability: np.ndarray
    status: tuple

    def labels(self, tier):
        """Return the labels of a tier."""
        return self.classes if tier == "class" else self.subclasses


def class_shares(labels, reference):
    """
    Share of replicates in which each term falls into each class.

    Parameters
    ----------
    labels : (R, n) array of int
        Classes in the tree of every replicate.
    reference : (n,) array of int
        Classes of the chart, 0 to K - 1; paired with those of a tree as for home probabilities.

    Returns
    -------
    (n, K) array of float
    """
    matched = match_groups(contingencies(labels, reference))
    fallen = np.take_along_axis(matched, labels.astype(np.intp), axis=1)
    return np.stack([(fallen == one).mean(axis=0) for one in range(int(reference.max()) + 1)], 1)


def probability_in(evidence, shares, term, class_label):
    """
    Return how often a term falls into a class, and which replicates say so.

    Parameters
    ----------
    evidence : Evidence
    shares : (n, K) array of float or None
        From part of the replicates, for classes that the evidence does not name.
    term, class_label : int

    Returns
    -------
    probability : float
    basis : {'all replicates', 'first replicates', ''}
    """
    if class_label == evidence.classes[term]:
        return float(evidence.home[term]), "all replicates"
    if class_label == evidence.rival[term]:
        return float(evidence.rival_probability[term]), "all replicates"
    if shares is None:
        return float("nan"), ""
    return float(shares[term, class_label]), "first replicates"


@dataclass(frozen=True)
class NamedChart:
    """
    A chart with the names of its groups.

    Attributes
    ----------
    labels : dict of str to (n,) array of int
        By tier.
    ids : dict of str to list of str
        By tier, for every term: the alphabetically first term of its group.
    names : dict of str to dict of int to GroupName
        By tier and label.
    """

    labels: dict
    ids: dict
    names: dict

    def name(self, tier, term):
        """Return the name of a term's group."""
        return self.names[tier][int(self.labels[tier][term])].name

    def absorbed(self, term):
        """Say whether a term has become the name of one of its groups."""
        groups = (self.names[tier][int(self.labels[tier][term])] for tier in TIERS)
        return any(group.absorbs and group.anchor == term for group in groups)


def named_charts(evidence, publication, given, D, unfit="refuse"):
    """
    Name the groups of the published chart, and carry the names back to that of the data.

    Parameters
    ----------
    evidence : Evidence
    publication : felloe.tiers.decisions.Publication
    given : list of dict
        Rows of `names.csv`.
    D : (n, n) array of float
    unfit : {"refuse", "propose"}
        See `name_groups`.

    Returns
    -------
    data_only, published : NamedChart
        A group of the data that was given no name proposes its own most central term.

    Raises
    ------
    StudyError
        If names cannot be given (see `name_groups`), or leave a class without a term on the ring.
    """
    moved = {evidence.terms[i] for i in np.flatnonzero(publication.moved)}
    published = {"class": publication.classes, "subclass": publication.subclasses}
    names = {
        tier: name_groups(
            tier,
            published[tier],
            [row for row in given if row["tier"] == tier],
            evidence.terms,
            evidence.words,
            D,
            moved,
            unfit,
        )
        for tier in TIERS
    }
    carried = {tier: _carried(evidence, tier, names[tier], D) for tier in TIERS}
    data = {tier: evidence.labels(tier) for tier in TIERS}
    of_committee = NamedChart(published, _ids(published, evidence.terms), names)
    _refuse_empty(evidence, of_committee)
    return NamedChart(data, _ids(data, evidence.terms), carried), of_committee


def _refuse_empty(evidence, chart):
    """Refuse names that absorb every term of a class."""
    absorbed = np.array([chart.absorbed(term) for term in range(len(evidence.terms))])
    for label, name in chart.names["class"].items():
        if absorbed[chart.labels["class"] == label].all():
            problem = f"and the anchors of subclasses absorb every term of the class '{name.name}'"
            anchor = evidence.terms[name.anchor]
            remedy = "Leave `absorbs` empty for one of them, so that the outer ring has a term."
            raise StudyError([Fault("names.csv", 0, "anchor", anchor, problem, remedy)])


def _ids(labels, terms):
    return {tier: first_terms(labels[tier], terms) for tier in TIERS}


def _carried(evidence, tier, names, D):
    """Return the names of the data's groups, given ones kept, others proposed anew."""
    labels, carried = evidence.labels(tier), {}
    for label in np.unique(labels).tolist():
        if label in names and not names[label].proposed:
            carried[label] = names[label]
        else:
            centre = central_term(D, np.flatnonzero(labels == label))
            carried[label] = GroupName(evidence.words[centre], centre, True)
    return carried


def tier_rows(evidence, chart, publication=None, shares=None):
    """
    Rows of a chart, one per term.

    Parameters
    ----------
    evidence : Evidence
    chart : NamedChart
    publication : Publication, optional
        For the published chart: which terms moved.
    shares : (n, K) array of float, optional
        See `probability_in`.

    Yields
    ------
    dict
    """
    ids = {int(label): name for label, name in zip(chart.labels["class"], chart.ids["class"])}
    for term, word in enumerate(evidence.terms):
        home, rival = float(evidence.home[term]), int(evidence.rival[term])
        rival_probability = float(evidence.rival_probability[term])
        status = evidence.status[term]
        if publication is not None and publication.moved[term]:
            status, own = MOVED, int(publication.classes[term])
            if own != evidence.classes[term]:
                home, _ = probability_in(evidence, shares, term, own)
                rival, rival_probability = int(evidence.classes[term]), float(evidence.home[term])
        row = {
            "term": word,
            "class": chart.ids["class"][term],
            "subclass": chart.ids["subclass"][term],
            "class_name": chart.name("class", term),
            "subclass_name": chart.name("subclass", term),
            "home_probability": home,
            "rival_class": ids.get(rival, ""),
            "rival_probability": rival_probability if rival in ids else None,
            "status": status,
        }
        if publication is not None:
            row["absorbed"] = chart.absorbed(term)
        yield row


def group_rows(which, evidence, chart, jaccards):
    """
    Rows of the groups of a chart, classes first.

    Parameters
    ----------
    which : {'data_only', 'published'}
    evidence : Evidence
    chart : NamedChart
    jaccards : dict of frozenset of str to float
        Support of groups of terms, where the tree of the data has them.

    Yields
    ------
    dict
    """
    for tier in TIERS:
        labels = chart.labels[tier]
        for label in sorted(set(labels.tolist()), key=lambda one: int(np.argmax(labels == one))):
            members = np.flatnonzero(labels == label)
            name, first = chart.names[tier][label], int(members[0])
            group = frozenset(evidence.terms[i] for i in members)
            yield {
                "chart": which,
                "tier": tier,
                "id": chart.ids[tier][first],
                "parent": chart.ids["class"][first] if tier == "subclass" else "",
                "name": name.name,
                "proposed": name.proposed,
                "anchor": evidence.terms[name.anchor],
                "n_terms": len(members),
                "jaccard": jaccards.get(group),
            }
