"""Step: the published wheels of two editions side by side."""

from pathlib import Path

from felloe.editions.tables import TERMS
from felloe.editions.wheels.figure_pair import draw_pair, pair_of
from felloe.ground.files.records import read_json
from felloe.ground.files.writing import write_bytes, write_text
from felloe.report.chart import read_chart
from felloe.report.sheet.pdf import pdf_of
from felloe.report.sheet.raster import png_of
from felloe.report.sheet.svg import svg_of
from felloe.report.typeface.shaping import typesetter

DPI = 150  # of the picture: A3 at twice what a page shows


def main(
    *,
    comparison: str,
    terms: str,
    older_chart: str,
    newer_chart: str,
    wheels: list[str],
    fonts: list[str],
) -> None:
    """Read both charts and what became of the terms; draw one sheet, write each path's format."""
    setter = typesetter(tuple(fonts))
    charts = read_chart(older_chart), read_chart(newer_chart)
    sheet = draw_pair(pair_of(read_json(comparison), TERMS.read(terms), *charts), setter)
    for path in map(Path, wheels):
        match path.suffix:
            case ".svg":
                write_text(path, svg_of(sheet, setter))
            case ".pdf":
                write_bytes(path, pdf_of(sheet, setter))
            case ".png":
                write_bytes(path, png_of(sheet, setter, dpi=DPI))
