"""Step: what moves from the published chart would cost, and other ways to classes."""

from typing import Any

from felloe.clustering.tree_files import read_distances, read_tree
from felloe.ground.files.records import read_json
from felloe.tiers.decisions import FitRule, replayed_chart
from felloe.tiers.price_rows import read_absorbed, write_moves, write_regroupings
from felloe.tiers.price_settings import OtherSettings
from felloe.tiers.prices import PriceSettings, open_terms, possible_moves, priced
from felloe.tiers.regroupings import regroupings
from felloe.tiers.rows import read_class_shares, read_decisions, read_placed, read_supports
from felloe.tiers.settings import TierSettings, cuts_of_study


def main(
    *,
    evidence: str,
    decisions: str,
    places: str,
    distances: str,
    linkage: str,
    support: str,
    class_shares: str,
    summary: str,
    study: str,
    method: str,
    order_freedom: str,
    prices: dict[str, int],
    settings: dict[str, Any],
    moves: str,
    other_classes: str,
) -> None:
    """Replay the decisions, price what could come after them, write."""
    (tiers, status), apart = read_placed(evidence), read_distances(distances)
    tree, decided = read_tree(linkage), read_decisions(decisions)
    rule, asked = FitRule(order_freedom, method), TierSettings(**settings)
    chart = replayed_chart(tree, tiers, apart, decided, rule)
    in_full = open_terms(chart, tiers, status)
    beside = {one.term: one.beside for one in decided}
    moving = possible_moves(chart, PriceSettings(**prices), in_full, beside)
    shares = read_class_shares(class_shares, tiers.classes)
    write_moves(moves, chart, priced(chart, moving), shares)
    cuts, _ = cuts_of_study(asked.branch_cuts, study, apart.terms)
    supports, chosen = read_supports(support), read_json(summary)
    other = OtherSettings(tree, apart, supports, decided, cuts, asked, rule, chosen)
    ways = regroupings(chart, read_absorbed(places), other.tried(), other.chart)
    write_regroupings(other_classes, chart.fit(), ways, study, asked.branch_cuts)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
