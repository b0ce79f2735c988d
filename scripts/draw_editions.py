"""Step: the figures of two editions, and both wheels on one sheet."""

from collections.abc import Sequence
from typing import Any

from felloe.editions.steps import draw_editions, draw_wheel_pair


def main(
    *,
    comparison: str,
    terms: str,
    older_chart: str,
    newer_chart: str,
    wheels: list[str],
    pdf: bool,  # the paths say it; here so that the ledger does
    fonts: Sequence[str] = (),
    **named: Any,
) -> None:
    """Draw columns and distances, then the wheels."""
    shared: dict[str, Any] = {"comparison": comparison, "terms": terms, "fonts": list(fonts)}
    draw_editions.main(**shared, **named)
    draw_wheel_pair.main(**shared, older_chart=older_chart, newer_chart=newer_chart, wheels=wheels)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
