"""Step: write the interactive wheel as one page."""

from felloe.documents.wheel_page import wheel_page
from felloe.files.atomic import write_text
from felloe.files.chart import read_chart


def main(*, chart, page):
    """Read the chart, write the page."""
    write_text(page, wheel_page(read_chart(chart)))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
