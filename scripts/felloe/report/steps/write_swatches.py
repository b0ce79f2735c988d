"""Step: write the colours of the chart as a palette file and as a table."""

from felloe.ground.files.writing import write_text
from felloe.report.chart import read_chart
from felloe.report.hand_off.colour_table import colour_rows
from felloe.report.hand_off.gpl_palette import gpl_palette
from felloe.report.mark_words import mark_sentences
from felloe.report.tables import COLOUR_TABLE


def main(*, chart: str, palette: str, table: str) -> None:
    """Read the chart, write its colours for drawing programs and for people."""
    drawn = read_chart(chart)
    rows = colour_rows(drawn)
    swatches = [(f"{row['tier']}: {row['label']}", row["colour"]) for row in rows]
    name = f"{drawn['title']}, {drawn['edition']}"
    write_text(palette, gpl_palette(name, swatches, mark_sentences(drawn)))
    COLOUR_TABLE.write(table, rows)
