"""Other numbers of classes in the settings, and the chart that each would publish."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.ground.distances import Distances
from felloe.ground.groups.ranges import FEWEST_CLASSES, clipped, most_groups
from felloe.ground.groups.tree import Tree
from felloe.tiers.cuts import Supports, place_subclasses
from felloe.tiers.decisions import Chart, Decision, FitRule, replayed_chart
from felloe.tiers.regroupings import Setting, Tried
from felloe.tiers.settings import BranchCut, TierSettings


@dataclass(frozen=True)
class OtherSettings:
    """
    What a chart is made from, so that it can be made with other numbers.

    Attributes
    ----------
    tree : Tree
        Of the data.
    distances : Distances
    supports : Supports
    decisions : sequence of Decision
    cuts : sequence of BranchCut
        Those that are meant for the study.
    asked : TierSettings
    rule : FitRule
    chosen : mapping
        `classes` and `subclasses` of `clustering/bootstrap.json`.
    """

    tree: Tree
    distances: Distances
    supports: Supports
    decisions: Sequence[Decision]
    cuts: Sequence[BranchCut]
    asked: TierSettings
    rule: FitRule
    chosen: Mapping[str, Any]

    def chart(self, setting: Setting) -> Chart | None:
        """Return the published chart under a setting; None where a branch cut refuses it."""
        classes = setting.classes or self.chosen["classes"]["number"]
        subclasses = setting.subclasses or self.chosen["subclasses"]["number"]
        cuts = [*self.cuts, BranchCut(setting.cut, 2)] if setting.cut else self.cuts
        limits = self.asked.limits_of_merging
        try:
            tiers = place_subclasses(self.tree, (classes, subclasses), cuts, self.supports, limits)
        except ValueError:
            return None
        return replayed_chart(self.tree, tiers, self.distances, self.decisions, self.rule)

    @property
    def today(self) -> int:
        """The number of classes that the data's chart has."""
        return int(self.chosen["classes"]["number"])

    @property
    def in_range(self) -> list[int]:
        """Numbers of classes that the terms can carry of the range, but for today's."""
        low, high = self.chosen["classes"]["possible"]
        return [k for k in range(low, high + 1) if k != self.today]

    def tried(self) -> Tried:
        """Return the numbers of the range and those next to today's, each with what makes it."""
        tried, most = {*self.in_range, self.today - 1, self.today + 1}, len(self.tree.terms)
        able = {k: self.setting(k) for k in sorted(tried) if FEWEST_CLASSES <= k < most}
        return Tried(able, self.in_range, self.today)

    def setting(self, classes: int) -> Setting:
        """
        Return what makes another number of classes.

        The number of subclasses is named where it would not stay by itself: it has to be larger
        than that of the classes, and is chosen among those that are.
        """
        chosen = self.chosen["subclasses"]
        wanted = max(chosen["number"], classes + 1)
        asked, most = chosen["range"], most_groups(len(self.tree.terms))[1]
        spans = {clipped(asked, least + 1, most) for least in (self.today, classes)}
        stays = wanted == chosen["number"] and (chosen["fixed"] or len(spans) == 1)
        return Setting(classes, None if stays else wanted)
