"""What the settings ask of the tiers, and which of their cuts are meant for a study."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.clustering.choice import Limits
from felloe.errors import StudyError, nearest
from felloe.ground.terms import Terms


@dataclass(frozen=True)
class TierSettings:
    """
    The part of the block `tiers` that places terms.

    Attributes
    ----------
    minimum_class_size, minimum_subclass_size : int
        Terms.
    minimum_support : float
        Mean Jaccard coefficient of a group that holds.
    weak_subclasses : {'merge', 'keep'}
        What becomes of subclasses that do not hold.
    firm_probability, undecided_probability : float
        Home-class probabilities from which a term is firm, and below which it is undecided.
    branch_cuts : sequence of mappings
        `term`, `subclasses`, `reason` and perhaps `study`.
    """

    minimum_class_size: int
    minimum_subclass_size: int
    minimum_support: float
    weak_subclasses: str
    firm_probability: float
    undecided_probability: float
    branch_cuts: Sequence[Mapping[str, Any]]

    @property
    def limits_of_merging(self) -> Limits | None:
        """What a subclass needs to stay as it is; None where weak ones are kept."""
        if self.weak_subclasses == "keep":
            return None
        return Limits(self.minimum_class_size, self.minimum_subclass_size, self.minimum_support)


@dataclass(frozen=True)
class BranchCut:
    """
    Another number of subclasses for the class of one term.

    Attributes
    ----------
    term : str
    subclasses : int
    """

    term: str
    subclasses: int


def cuts_of_study(
    asked: Sequence[Mapping[str, Any]], study: str, terms: Terms
) -> tuple[list[BranchCut], list[dict[str, Any]]]:
    """
    Return the cuts that are meant for a study, and what became of each.

    Parameters
    ----------
    asked : sequence of mappings
        See `TierSettings`.
    study : str
    terms : Terms

    Returns
    -------
    cuts : list of BranchCut
    notes : list of dict
        What was asked, and whether it was `applied`: not where a study that is not named has no
        such term.

    Raises
    ------
    StudyError
        If a cut for this study names a term that it does not have.
    """
    cuts, notes = [], []
    for entry in asked:
        term, own = entry["term"], entry.get("study")
        if own not in (None, study):
            continue
        if own == study and term not in terms:
            close = nearest(term, terms)
            hint = f" Did you mean '{close}'?" if close else ""
            raise StudyError(f"tiers.branch_cuts: '{term}' is no term of {study}.{hint}")
        if term in terms:
            cuts.append(BranchCut(term, entry["subclasses"]))
        notes.append({**entry, "applied": term in terms})
    return cuts, notes
