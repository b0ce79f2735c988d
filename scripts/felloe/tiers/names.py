"""Names of groups, found by an anchor term, so that a moved boundary does not move a name."""

from dataclasses import dataclass

import numpy as np

from felloe.errors import Fault, StudyError, nearest

MOST_SHOWN = 6  # terms of a group that a message lists


@dataclass(frozen=True)
class GroupName:
    """
    What a group is called.

    Attributes
    ----------
    name : str
    anchor : int
        The term that the name hangs on, or the most central term.
    proposed : bool
        True where the most central term stands in.
    absorbs : bool
        The anchor leaves the outer ring.
    """

    name: str
    anchor: int
    proposed: bool
    absorbs: bool = False


def central_term(D, members):
    """
    Return the term with the least mean distance to the others of its group.

    Parameters
    ----------
    D : (n, n) array of float
    members : sequence of int

    Returns
    -------
    int
        The first in term order where several tie.
    """
    members = np.sort(np.asarray(members))
    sums = np.round(D[np.ix_(members, members)].sum(axis=1), 12)
    return int(members[np.argmin(sums)])


def name_groups(tier, labels, given, terms, words, D, moved=(), unfit="refuse"):
    """
    Find the group of every name.

    Parameters
    ----------
    tier : str
    labels : (n,) array of int
        The group of each term on the published chart.
    given : list of dict
        Rows `anchor`, `name`, `absorbs` of this tier.
    terms, words : sequence of str
        Ids in sorted order, and labels.
    D : (n, n) array of float
    moved : collection of str
        Terms that a decision moved.
    unfit : {"refuse", "propose"}
        What becomes of names that do not single out one group: an error, or the most central
        term in their place.

    Returns
    -------
    dict of int to GroupName
        For every group.

    Raises
    ------
    StudyError
        If an anchor is no term, if several names meet in one group, or if a group would have no
        term left once its anchor is absorbed; with the groups that have no name yet.
    """
    place = {term: i for i, term in enumerate(terms)}
    faults, found = [], {}
    for row in given:
        if row["anchor"] not in place:
            close = nearest(row["anchor"], terms)
            hint = f" Did you mean '{close}'?" if close else ""
            problem = f"is no term of the study, so the {tier} '{row['name']}' cannot be found"
            faults.append(_fault(row, problem, f"Choose another term of the group.{hint}"))
        else:
            found.setdefault(int(labels[place[row["anchor"]]]), []).append(row)
    groups = {int(label): np.flatnonzero(labels == label) for label in np.unique(labels)}
    free = [members for label, members in groups.items() if label not in found]
    for label, rows in list(found.items()):
        empties = rows[0]["absorbs"] == "yes" and len(groups[label]) == 1
        if unfit == "propose" and (len(rows) > 1 or empties):
            found.pop(label)
        elif len(rows) > 1:
            faults.append(_clash(tier, rows, groups[label], free, terms, D, moved))
        elif empties:
            problem = f"is the only term of its {tier}, which would leave the outer ring empty"
            faults.append(_fault(rows[0], problem, "Leave `absorbs` empty."))
    if faults:
        raise StudyError(faults)
    names = {}
    for label, members in groups.items():
        if label in found:
            row = found[label][0]
            names[label] = GroupName(
                row["name"], place[row["anchor"]], False, row["absorbs"] == "yes"
            )
        else:
            centre = central_term(D, members)
            names[label] = GroupName(words[centre], centre, True)
    return names


def _fault(row, problem, remedy):
    return Fault("names.csv", 0, "anchor", row["anchor"], problem, remedy)


def _clash(tier, rows, members, free, terms, D, moved):
    """Return the fault of names that meet in one group, with the groups that have none."""
    anchors = ", ".join(
        f"'{row['anchor']}' for '{row['name']}'"
        + (" (moved there by a decision)" if row["anchor"] in moved else "")
        for row in rows[1:]
    )
    problem = (
        f"no longer singles out the {tier} '{rows[0]['name']}': the same {tier} "
        f"({_listed(members, terms)}) also holds the anchor {anchors}"
    )
    candidates = "; ".join(
        f"'{terms[central_term(D, group)]}' ({_listed(group, terms)})" for group in free
    )
    remedy = (
        f"Keep one name for that {tier}; give the others an anchor elsewhere or take them out. "
        f"Without a name, by their most central term, are: {candidates or 'none'}. "
        "To go on with proposals in place of such names, set tiers.unfit_names to 'propose'."
    )
    return _fault(rows[0], problem, remedy)


def _listed(members, terms):
    """Return the terms of a group, shortened."""
    shown = ", ".join(terms[i] for i in members[:MOST_SHOWN])
    return shown + (", ..." if len(members) > MOST_SHOWN else "")
