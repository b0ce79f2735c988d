"""Names of groups, found by an anchor term, so that a moved boundary does not move a name."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from felloe.errors import Fault, StudyError, nearest
from felloe.ground.distances import Distances
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.terms import Terms

MOST_SHOWN = 6  # terms of a group that a message lists


@dataclass(frozen=True)
class GroupName:
    """
    What a group is called.

    Attributes
    ----------
    name : str
    anchor : str
        The term that the name hangs on, or the most central term.
    proposed : bool
        True where the most central term stands in.
    absorbs : bool
        The anchor leaves the outer ring.
    """

    name: str
    anchor: str
    proposed: bool
    absorbs: bool = False


@dataclass(frozen=True)
class GivenName:
    """
    A name that the committee gave.

    Attributes
    ----------
    tier : {'class', 'subclass'}
    anchor : str
        The term that the name hangs on.
    name : str
    absorbs : bool
        The anchor leaves the outer ring.
    """

    tier: str
    anchor: str
    name: str
    absorbs: bool = False

    def given(self) -> GroupName:
        """Return what the group of the anchor is called."""
        return GroupName(self.name, self.anchor, False, self.absorbs)


@dataclass(frozen=True)
class Naming:
    """
    What names are found with.

    Attributes
    ----------
    labels : mapping of str to str
        The wording of every term.
    distances : Distances
    moved : collection of str
        Terms that a decision moved.
    unfit : {"refuse", "propose"}
        What becomes of names that do not single out one group: an error, or the most central
        term in their place.
    """

    labels: Mapping[str, str]
    distances: Distances
    moved: Collection[str] = ()
    unfit: str = "refuse"

    @property
    def terms(self) -> Terms:
        """The terms of the study."""
        return self.distances.terms

    def proposal(self, members: Iterable[str]) -> GroupName:
        """Return the name that a group proposes for itself."""
        centre = central_term(self.distances, members)
        return GroupName(self.labels[centre], centre, True)


def central_term(distances: Distances, members: Iterable[str]) -> str:
    """
    Return the term with the least mean distance to the others of its group.

    Parameters
    ----------
    distances : Distances
    members : iterable of str

    Returns
    -------
    str
        The first in term order where several tie.
    """
    places = np.sort(distances.terms.places(members))
    sums = np.round(distances.D[np.ix_(places, places)].sum(axis=1), DISTANCE_DECIMALS)
    return distances.terms[int(places[np.argmin(sums)])]


def members_of(terms: Terms, groups: Sequence[str]) -> dict[str, list[str]]:
    """Return the terms of every group, from the group of every term; groups by their ids."""
    found: dict[str, list[str]] = {group: [] for group in sorted(set(groups))}
    for term, group in zip(terms, groups, strict=True):
        found[group].append(term)
    return found


def name_groups(
    tier: str, groups: Sequence[str], given: Iterable[GivenName], naming: Naming
) -> dict[str, GroupName]:
    """
    Find the group of every name.

    Parameters
    ----------
    tier : str
    groups : sequence of str
        The group of each term on the published chart, by any id.
    given : iterable of GivenName
        Of this tier.
    naming : Naming

    Returns
    -------
    dict of str to GroupName
        For every group.

    Raises
    ------
    StudyError
        If an anchor is no term, if several names meet in one group, or if a group would have no
        term left once its anchor is absorbed; with the groups that have no name yet.
    """
    members = members_of(naming.terms, groups)
    found, faults = _by_group(tier, groups, given, naming.terms)
    free = [inside for group, inside in members.items() if group not in found]
    for group, names in list(found.items()):
        empties = names[0].absorbs and len(members[group]) == 1
        if naming.unfit == "propose" and (len(names) > 1 or empties):
            found.pop(group)
        elif len(names) > 1:
            faults.append(_clash(tier, names, members[group], free, naming))
        elif empties:
            problem = f"is the only term of its {tier}, which would leave the outer ring empty"
            faults.append(fault_of(names[0].anchor, problem, "Leave `absorbs` empty."))
    if faults:
        raise StudyError(faults)
    return {
        group: GroupName(
            found[group][0].name, found[group][0].anchor, False, found[group][0].absorbs
        )
        if group in found
        else naming.proposal(inside)
        for group, inside in members.items()
    }


def _by_group(
    tier: str, groups: Sequence[str], given: Iterable[GivenName], terms: Terms
) -> tuple[dict[str, list[GivenName]], list[Fault]]:
    """Return the names of every group that has some, and the faults of anchors that are gone."""
    found: dict[str, list[GivenName]] = {}
    faults = []
    for name in given:
        if name.anchor in terms:
            found.setdefault(groups[terms.index(name.anchor)], []).append(name)
            continue
        close = nearest(name.anchor, terms)
        hint = f" Did you mean '{close}'?" if close else ""
        problem = f"is no term of the study, so the {tier} '{name.name}' cannot be found"
        faults.append(fault_of(name.anchor, problem, f"Choose another term of the group.{hint}"))
    return found, faults


def fault_of(anchor: str, problem: str, remedy: str) -> Fault:
    """Return the fault of an anchor of `names.csv`."""
    return Fault("names.csv", 0, "anchor", anchor, problem, remedy)


def _clash(
    tier: str,
    names: Sequence[GivenName],
    members: Sequence[str],
    free: Iterable[Sequence[str]],
    naming: Naming,
) -> Fault:
    """Return the fault of names that meet in one group, with the groups that have none."""
    anchors = ", ".join(
        f"'{one.anchor}' for '{one.name}'"
        + (" (moved there by a decision)" if one.anchor in naming.moved else "")
        for one in names[1:]
    )
    problem = (
        f"no longer singles out the {tier} '{names[0].name}': the same {tier} "
        f"({_listed(members)}) also holds the anchor {anchors}"
    )
    candidates = "; ".join(
        f"'{central_term(naming.distances, group)}' ({_listed(group)})" for group in free
    )
    remedy = (
        f"Keep one name for that {tier}; give the others an anchor elsewhere or take them out. "
        f"Without a name, by their most central term, are: {candidates or 'none'}. "
        "To go on with proposals in place of such names, set tiers.unfit_names to 'propose'."
    )
    return fault_of(names[0].anchor, problem, remedy)


def _listed(members: Sequence[str]) -> str:
    """Return the terms of a group, shortened."""
    shown = ", ".join(members[:MOST_SHOWN])
    return shown + (", ..." if len(members) > MOST_SHOWN else "")
