"""Step: what every move from the published chart would cost, and every other way to classes."""

from typing import Any

from felloe.clustering.tree_files import read_distances, read_tree
from felloe.ground.files.records import read_json
from felloe.tiers.decisions import FitRule, replayed_chart
from felloe.tiers.price_rows import read_absorbed, write_moves, write_regroupings
from felloe.tiers.price_settings import OtherSettings
from felloe.tiers.prices import PriceSettings, open_terms, possible_moves, priced
from felloe.tiers.regroupings import regroupings
from felloe.tiers.rows import read_class_shares, read_data_chart, read_decisions, read_supports
from felloe.tiers.settings import TierSettings, cuts_of_study


def main(
    *,
    evidence: str,
    terms: str,
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
    known, apart, of_data = (
        read_data_chart(evidence, terms),
        read_distances(distances),
        read_tree(linkage),
    )
    decided, rule, asked = (
        read_decisions(decisions),
        FitRule(order_freedom, method),
        TierSettings(**settings),
    )
    chart = replayed_chart(of_data, known.tiers, apart, decided, rule)
    in_full = open_terms(chart, known.tiers, known.status)
    moving = possible_moves(
        chart, PriceSettings(**prices), in_full, {one.term: one.beside for one in decided}
    )
    shares = read_class_shares(class_shares, known.tiers.classes)
    write_moves(moves, chart, priced(chart, moving), shares)
    cuts, _ = cuts_of_study(asked.branch_cuts, study, apart.terms)
    other = OtherSettings(
        of_data, apart, read_supports(support), decided, cuts, asked, rule, read_json(summary)
    )
    absorbed = read_absorbed(places)
    ways = regroupings(chart, absorbed, other.numbers(), other.in_range, other.today, other.chart)
    write_regroupings(other_classes, chart.fit(), ways, study, asked.branch_cuts)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
