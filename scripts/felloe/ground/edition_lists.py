"""What the lists of editions in the settings ask for: pairs, timelines, and their folders."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from felloe.errors import Fault, StudyError

EDITIONS = "editions"  # within the results
Lists = Sequence[Sequence[str]]
Pair = tuple[str, str]


def pairs_of(lists: Lists) -> list[Pair]:
    """
    Return the consecutive pairs of some lists of studies.

    Parameters
    ----------
    lists : sequence of sequence of str
        Each of two studies or more, older first.

    Returns
    -------
    list of (str, str)
        Older and newer; each pair once, where it stands first.
    """
    found = [pair for one in lists for pair in pairwise(one)]
    return list(dict.fromkeys(found))


def timelines_of(lists: Lists) -> dict[Pair, list[str]]:
    """Return the lists of three studies and more, by their first and last study."""
    return {(one[0], one[-1]): list(one) for one in lists if len(one) > 2}


def homes_of(lists: Lists) -> list[Pair]:
    """
    Return what the folders of results are called after: pairs, then timelines with no such pair.

    A timeline lies where a comparison of its first and last study would, and can lie beside one.
    """
    return list(dict.fromkeys([*pairs_of(lists), *timelines_of(lists)]))


def folder_of(home: Sequence[str]) -> str:
    """Return the name of the folder of a pair, or of a timeline by its first and last study."""
    return "--".join(home)


def told_in(lists: Lists, home: Pair) -> list[str]:
    """Return the studies that the folder of a pair or timeline tells of, oldest first."""
    return timelines_of(lists).get(home, list(home))


def check_order(lists: Lists, editions: Mapping[str, str], shown: str) -> None:
    """
    Refuse pairs whose older study is of a later year or date than the newer one.

    Parameters
    ----------
    lists : sequence of sequence of str
    editions : mapping of str to str
        Year, month or day of each study; of a year and a day in it none is the later.
    shown : str
        The settings as messages name them.

    Raises
    ------
    StudyError
        With every such pair.
    """
    faults = []
    for older, newer in pairs_of(lists):
        before, after = editions[older], editions[newer]
        known = min(len(before), len(after))
        if before[:known] > after[:known]:
            problem = f"the first is the edition of {before}, the second that of {after}"
            remedy = "Write the older edition first, or mend `edition` in its study.yaml."
            faults.append(Fault(shown, 0, "editions", f"[{older}, {newer}]", problem, remedy))
    if faults:
        raise StudyError(faults)
