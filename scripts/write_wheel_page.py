"""Step: write the interactive wheel as one page."""

from felloe.ground.files.writing import write_text
from felloe.report.chart import read_chart
from felloe.report.typeface.shaping import typesetter
from felloe.report.wheel_page import wheel_page


def main(*, chart: str, fonts: list[str], weak: float, page: str) -> None:
    """Read the chart, write the page."""
    write_text(page, wheel_page(read_chart(chart), typesetter(tuple(fonts)), weak))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
