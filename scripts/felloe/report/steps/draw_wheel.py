"""Step: draw the chart for the wall and for the desk."""

from felloe.ground.files.writing import write_bytes, write_text
from felloe.report.chart import read_chart
from felloe.report.sheet.pdf import pdf_of
from felloe.report.sheet.raster import png_of
from felloe.report.sheet.sheets import a4_sheet, wall_sheet
from felloe.report.sheet.svg import svg_of
from felloe.report.typeface.shaping import typesetter


def main(
    *,
    chart: str,
    fonts: list[str],
    bleed_mm: float,
    weak: float,
    svg: str,
    pdf: str,
    png: str,
    outlined: str,
    svg_a4: str,
    pdf_a4: str,
) -> None:
    """Read the chart, lay it out on both sizes of paper, write each format."""
    drawn, setter = read_chart(chart), typesetter(tuple(fonts))
    wall = wall_sheet(drawn, setter, weak)
    desk, dropped = a4_sheet(drawn, setter, weak)
    write_text(svg, svg_of(wall, setter))
    write_text(outlined, svg_of(wall, setter, outlines=True))
    write_bytes(pdf, pdf_of(wall, setter, bleed_mm))
    write_bytes(png, png_of(wall, setter))
    write_text(svg_a4, svg_of(desk, setter))
    write_bytes(pdf_a4, pdf_of(desk, setter, bleed_mm))
    if dropped:
        print(f"No A4 sheet: {len(dropped)} labels would be under 6 pt, such as {dropped[0]!r}.")
