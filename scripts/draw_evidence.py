"""Step: the figures of tree, map and ring, and of each population's own chart."""

from typing import Any

from felloe.colours.steps import draw_own_charts, draw_ring, draw_tree
from felloe.ground.in_turn import in_turn


def main(
    *,
    about: str,
    pdf: bool,  # the paths say it; here so that the ledger does
    **named: Any,
) -> None:
    """Draw every figure and save it."""
    steps = (draw_tree.main, draw_ring.main, draw_own_charts.main)
    in_turn(steps, {"about": about, "study": about, **named})


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
