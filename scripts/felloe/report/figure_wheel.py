"""The chart for the wall: three rings of classes, subclasses and terms on one sheet."""

from typing import Any

from felloe.ground.drawing import ACCENT, INK, MUTED, figure
from felloe.report.chart import Record, chart_terms
from felloe.report.label_fitting import Sector, fit_label, sector_outline, shortened
from felloe.report.lettering import Axes, Face, across_ring, along_ring, text_widths
from felloe.report.mark_words import in_the_hub, mark_sentences
from felloe.report.wheel_keys import draw_keys, draw_marks, draw_title
from felloe.report.words import counted

# Millimetres on an A3 sheet; everything scales with the sheet.
SHEET = (297.0, 420.0)
CENTRE = (148.5, 220.0)
HUB, RIM = 25.0, 127.0
BETWEEN_RINGS = 1.1
TERM_DEPTH = (24.0, 44.0)  # the term ring is as deep as its longest label asks, within these
CLASS_SHARE = 0.53  # of what is left for classes and subclasses
LARGEST_TYPE = {"class": 5.0, "subclass": 3.7, "term": 3.5}
BORDER = 0.16
HAIRLINE = 0.14  # of paper on each side of every segment, so that no two of them touch


def draw_wheel(chart: Record, paper_mm: float) -> Any:
    """
    Draw a chart.

    Parameters
    ----------
    chart : dict
        As in `chart.json`.
    paper_mm : float
        Longer side of the sheet.

    Returns
    -------
    matplotlib.figure.Figure
    """
    scale = paper_mm / SHEET[1]
    fig = figure(SHEET[0] * scale, SHEET[1] * scale)
    ax: Axes = fig.add_axes((0, 0, 1, 1))
    ax.set_xlim(-CENTRE[0], SHEET[0] - CENTRE[0])
    ax.set_ylim(-CENTRE[1], SHEET[1] - CENTRE[1])
    ax.axis("off")
    ax.points_per_mm = 72 / 25.4 * scale
    rings = ring_radii(chart)
    for class_ in chart["classes"]:
        draw_group(ax, class_, rings["class"], "class")
        for subclass in class_["subclasses"]:
            draw_group(ax, subclass, rings["subclass"], "subclass")
            for term in subclass["terms"]:
                draw_term(ax, term, rings["term"])
    draw_hub(ax, chart)
    draw_marks(ax, chart, RIM)
    draw_title(ax, chart, SHEET, CENTRE)
    draw_keys(ax, chart, SHEET, CENTRE, RIM)
    return fig


def ring_radii(chart: Record) -> dict[str, tuple[float, float]]:
    """Return the inner and outer radius of each ring, the term ring deep enough for its labels."""
    width_of = text_widths(Face(style="italic"))
    longest = max(width_of(shortened(term["label"])) for _, _, term in chart_terms(chart))
    depth = min(max((longest + 2.2) * LARGEST_TYPE["term"], TERM_DEPTH[0]), TERM_DEPTH[1])
    left = RIM - depth - HUB - 3 * BETWEEN_RINGS
    first = HUB + BETWEEN_RINGS
    second = first + CLASS_SHARE * left + BETWEEN_RINGS
    return {
        "class": (first, second - BETWEEN_RINGS),
        "subclass": (second, RIM - depth - BETWEEN_RINGS),
        "term": (RIM - depth, RIM),
    }


def draw_group(ax: Axes, group: Record, ring: tuple[float, float], tier: str) -> None:
    """Draw the sector and the name of a class or subclass; one without terms has none."""
    if group["start_deg"] is None:
        return
    draw_sector(ax, group, ring)
    face = Face(
        weight="bold" if tier == "class" else "normal",
        style="italic" if group["name_is_proposal"] else "normal",
    )
    sector = Sector(*ring, group["end_deg"] - group["start_deg"])
    label = fit_label(group["name"], text_widths(face), sector, LARGEST_TYPE[tier])
    middle = (group["start_deg"] + group["end_deg"]) / 2
    if label.along:
        along_ring(ax, label, middle, ring, group["colour"]["text"], face)
    else:
        across_ring(ax, label, middle, group["colour"]["text"], face)


def draw_term(ax: Axes, term: Record, ring: tuple[float, float]) -> None:
    """Draw the sector and the label of a term; what is undecided is set in italics."""
    draw_sector(ax, term, ring)
    face = Face(style="italic" if term["status"] == "undecided" else "normal")
    sector = Sector(*ring, term["end_deg"] - term["start_deg"])
    width_of, largest = text_widths(face), LARGEST_TYPE["term"]
    label = fit_label(term["label"], width_of, sector, largest, from_inside=True)
    middle = (term["start_deg"] + term["end_deg"]) / 2
    across_ring(ax, label, middle, term["colour"]["text"], face, flush=True)


def draw_sector(ax: Axes, entry: Record, ring: tuple[float, float]) -> None:
    """Draw one segment with a border of 3 to 1 or more against it or against the paper."""
    from matplotlib.patches import Polygon

    outline = sector_outline(*ring, entry["start_deg"], entry["end_deg"], HAIRLINE)
    colour = entry["colour"]
    look = {"facecolor": colour["used"], "edgecolor": colour["outline"]}
    ax.add_patch(Polygon(outline, lw=BORDER * ax.points_per_mm, joinstyle="round", **look))


def draw_hub(ax: Axes, chart: Record) -> None:
    """Write the edition and what was counted into the middle."""
    size = 10.0 if len(chart["edition"]) <= 5 else 48.0 / len(chart["edition"])
    points = ax.points_per_mm
    look = {"ha": "center", "va": "center", "parse_math": False, "zorder": 6}
    family = ["STIXGeneral", "DejaVu Sans"]
    ax.text(0, 4.2, chart["edition"], fontsize=size * points, color=INK, family=family, **look)
    for at, line in enumerate(counted(chart)):
        ax.text(0, -4.6 - 4.4 * at, line, fontsize=2.7 * points, color=MUTED, **look)
    if marks := in_the_hub(chart):
        ax.text(0, 11.5, marks, fontsize=3.2 * points, color=ACCENT, weight="bold", **look)


def described_svg(text: str, title: str, description: str) -> str:
    """
    Give an SVG its role, title and description for readers who listen.

    Parameters
    ----------
    text : str
        The SVG.
    title, description : str

    Returns
    -------
    str
    """
    from xml.sax.saxutils import escape

    start = text.index("<svg ")
    end = text.index(">", start)
    heads = (
        f'<title id="wheel-title">{escape(title)}</title>'
        f'<desc id="wheel-desc">{escape(description)}</desc>'
    )
    role = ' role="img" aria-labelledby="wheel-title wheel-desc"'
    return f"{text[:end]}{role}>\n {heads}{text[end + 1 :]}"


def spoken_description(chart: Record) -> str:
    """Return the tiers in words, in order around the circle, after what marks the chart bears."""
    parts = mark_sentences(chart)
    for class_ in chart["classes"]:
        groups = []
        for subclass in class_["subclasses"]:
            terms = ", ".join(term["label"] for term in subclass["terms"])
            groups.append(f"{subclass['name']} ({terms})" if terms else subclass["name"])
        parts.append(f"{class_['name']}: {'; '.join(groups)}.")
    return " ".join(parts)
