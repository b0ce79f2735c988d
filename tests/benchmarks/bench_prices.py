"""
Measure what prices of moves cost, and how that compares with measuring every chart anew.

Run by hand: `python tests/benchmarks/bench_prices.py`. Nothing here is a test; the figures in
DEVELOPERS.md come from it.
"""

import sys
import time
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "scripts"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bench_circle import sorted_terms
from felloe.tiers.decisions import Decision, FitRule, replayed_chart
from felloe.tiers.prices import PriceSettings, possible_moves, priced
from price_example import charted, named

MOST = 500  # moves measured, set-up included
ASKED = PriceSettings(priced_subclasses=5, priced_terms=10**6)
# terms; and of how many moves the plain way is measured
CASES = [("tree", 100, 40), ("tree", 300, 20), ("tree", 1000, 5), ("tiers", 96, 2)]


def plainly(chart, move):
    """Measure the chart anew after a move."""
    changed = chart.copy()
    changed.move(Decision(move.term, move.beside, "", ""))
    return changed.fit()


def main():
    """Print the table."""
    print("circle  terms  moves  those s  a move ms  plain ms ratio")
    for freedom, n, tried in CASES:
        example = charted(named(sorted_terms(n)), "average", (10, 28), FitRule(freedom, "average"))
        chart = replayed_chart(*example)
        chart.whole  # noqa: B018  measured neither here nor there
        start = time.process_time()
        found = list(priced(chart, islice(possible_moves(chart, ASKED, (), {}), MOST)))
        whole = time.process_time() - start
        start = time.process_time()
        for move, fit in islice(found, 0, None, max(1, len(found) // tried)):
            assert plainly(chart, move) == fit
        plain = (time.process_time() - start) / len(found[:: max(1, len(found) // tried)])
        one = whole / len(found)
        print(
            f"{freedom:>6} {n:6d} {len(found):6d} {whole:8.2f} {one * 1e3:10.2f} "
            f"{plain * 1e3:9.1f} {plain / one:5.0f}"
        )


if __name__ == "__main__":
    main()
