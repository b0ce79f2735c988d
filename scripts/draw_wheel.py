"""Step: the chart for the wall and for the desk in every language, and its proofs."""

from typing import Any

from felloe.report.steps import draw_wheel, proof_wheel


def main(
    *, charts: list[str], fonts: list[str], weak: float, bleed_mm: float, proofs: str, **sheets: Any
) -> None:
    """Draw the sheets of every language, then the first one four times as others see it."""
    for place, chart in enumerate(charts):
        paths = {kind: named[place] for kind, named in sheets.items()}
        draw_wheel.main(chart=chart, fonts=fonts, weak=weak, bleed_mm=bleed_mm, **paths)
    proof_wheel.main(chart=charts[0], fonts=fonts, weak=weak, proofs=proofs)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
