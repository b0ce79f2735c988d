"""Step: draw the chart for the wall."""

import warnings
from pathlib import Path

from felloe.comparison.provisional_words import marked
from felloe.ground.drawing import save_figure
from felloe.ground.files.writing import write_text
from felloe.report.chart import read_chart
from felloe.report.figure_wheel import described_svg, draw_wheel, spoken_description


def main(*, chart: str, paper_mm: float, svg: str, pdf: str, png: str) -> None:
    """Read the chart, draw it, save it in three formats; the SVG also tells its content."""
    drawn = read_chart(chart)
    title = marked(drawn["title"], drawn["provisional"])
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")  # a character that the fonts lack: shown as a box
        save_figure(draw_wheel(drawn, paper_mm), (svg, pdf, png), title, artwork=True)
    print(*sorted({str(warning.message) for warning in caught}), sep="\n")
    text = Path(svg).read_text(encoding="utf-8")
    write_text(svg, described_svg(text, title, spoken_description(drawn)))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
