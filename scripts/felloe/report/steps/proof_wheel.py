"""Step: the chart in grey and as people with a colour-vision deficiency see it."""

from felloe.ground.files.writing import write_bytes
from felloe.report.chart import read_chart
from felloe.report.sheet.proofs import proofs_of
from felloe.report.sheet.sheets import wall_sheet
from felloe.report.typeface.shaping import typesetter


def main(*, chart: str, fonts: list[str], weak: float, proofs: str) -> None:
    """Read the chart, lay it out, draw it four times."""
    setter = typesetter(tuple(fonts))
    write_bytes(proofs, proofs_of(wall_sheet(read_chart(chart), setter, weak), setter))
