"""The key of a sheet: one spoke explained part by part, from the rim inwards."""

from collections.abc import Iterator

from felloe.ground.drawing import ACCENT, INK, MUTED, PAPER, RULE
from felloe.ground.groups.ranges import ALL_BESIDE
from felloe.report.chart import on_ring, together_with_next
from felloe.report.sheet.beside import Beside, hundred
from felloe.report.sheet.felloes import SURE
from felloe.report.sheet.hub import tells_shares
from felloe.report.sheet.level import LEADING
from felloe.report.sheet.name_fitting import proposal
from felloe.report.sheet.paper import SMALLEST, Format
from felloe.report.sheet.shapes import Group, Look, Part, box, disc, line
from felloe.report.sheet.spoke_fitting import LINE, MIDDLE, Word, line_breaks
from felloe.report.typeface.faces import BOLD, ITALIC, PLAIN

COLUMNS = ("class", "peg", "subclass", "evidence", "colour", "word", "tree")
LONGEST = 70.0  # millimetres of A3 that a name may take in a sentence of the key
WIDTHS = {"peg": 1.45, "evidence": 1.2, "tree": 1.2, "colour": 0.85, "word": 0.95, "class": 1.0}


def draw_key(beside: Beside) -> Group:
    """Explain one spoke part by part, numbered from the rim inwards, on a strip under the wheel."""
    form, group, k = beside.form, Group(kind="key"), beside.form.k
    top = form.centre[1] + form.radius + 9.0 * k
    left, width = form.margin, form.width - 2 * form.margin
    unit = unit_of(form)
    word = example(beside)
    texts = key_texts(beside, word)
    x, y, lowest = left, top + 17.0 * k, 0.0
    group.add(line(beside.at(left, top + 7 * k), beside.at(left + width, top + 7 * k),
                   stroke=RULE, width=form.hairline, role="rule"))  # fmt: skip
    for number, name in enumerate(COLUMNS, 1):
        room = unit * WIDTHS.get(name, 1.0)
        group.add(*ICONS[name](beside, word, x, top + 7 * k))
        size = form.key
        group.add(*beside.texts(f"{number}", x, y, size, BOLD, ACCENT))
        indent = beside.width("0", size, BOLD) + 0.45 * size
        group.add(*beside.texts(beside.words[f"sheet.{name}"], x + indent, y, size, BOLD))
        at = y + LEADING * size
        for text in texts[name]:
            parts, at = beside.block(text, x, at, room - 3.5 * k, size)
            group.add(*parts)
        lowest = max(lowest, at)
        x += room
    closing = f"{beside.words['sheet.redraw']} {beside.words['sheet.cautions']}"
    parts, _ = beside.block(closing, left, lowest + 1.2 * k, width, form.key, MUTED)
    group.add(*parts)
    return group


def unit_of(form: Format) -> float:
    """Return how wide a column of the key is whose share is 1."""
    return (form.width - 2 * form.margin) / sum(WIDTHS.get(name, 1.0) for name in COLUMNS)


def example(beside: Beside) -> Word:
    """Return the word that the key explains: the one whose redraws are most divided, else any."""
    return min(
        beside.plan.words,
        key=lambda word: (
            word.entry["status"] not in ("doubtful", "undecided"),
            not word.entry["rival_class"],
            abs((word.entry["home_probability"] or 0.0) - 0.5),
        ),
    )


def key_texts(beside: Beside, word: Word) -> dict[str, list[str]]:
    """Return what stands under each number of the key."""
    words, term, form = beside.words, word.entry, beside.form
    told = {
        "home": hundred(term["home_probability"]),
        "rival": hundred(term["rival_probability"]),
        "own": beside.shortened(word.class_["name"], LONGEST * form.k, form.key),
        "other": beside.shortened(term["rival_class_name"] or "", LONGEST * form.k, form.key),
        "term": beside.shortened(term["label"], LONGEST * form.k, form.key),
    }
    kind = "evidence_text" if term["rival_class"] else "evidence_sure"
    return {
        "class": [beside.words["sheet.class_text"]],
        "peg": [peg_text(beside), *gap_text(beside)],
        "evidence": [beside.words.fill(f"sheet.{kind}", **told)],
        **{each: [words[f"sheet.{each}_text"]] for each in ("subclass", "colour")},
        "word": [words["sheet.word_text" if form.worded else "sheet.word_listed"]],
        "tree": [words["sheet.tree_text" if tells_shares(beside.chart) else "sheet.tree_plain"]],
    }


def peg_text(beside: Beside) -> str:
    """Say what pegs between classes mean; where all classes are neighbours anyway, nothing."""
    if len(on_ring(beside.chart["classes"])) <= ALL_BESIDE:
        return beside.words["sheet.peg_always"]
    pegs = {"sure": round(100 * SURE), "weak": round(100 * beside.weak)}
    return beside.words.fill("sheet.peg_text", **pegs)


def gap_text(beside: Beside) -> list[str]:
    """Say what gaps between classes mean, in people."""
    ring = on_ring(beside.chart["classes"])
    known = [share for each in ring if (share := together_with_next(each)) is not None]
    if len(ring) < 2 or not known or not tells_shares(beside.chart):
        return []
    least, most = hundred(min(known)), hundred(max(known))
    key = "gap_alike" if least == most else "gap_text"
    return [beside.words.fill(f"sheet.{key}", least=least, most=most)]


def _class_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, colour = beside.form.k, word.class_["colour"]
    look = {"stroke": colour["outline"], "width": 2 * beside.form.hairline}
    yield box(*beside.at(x, y - 5 * k), 24 * k, 10 * k, fill=PAPER, role="paper", **look)
    yield box(*beside.at(x, y - 5 * k), 3 * k, 10 * k, fill=colour["used"], **look)
    ways = line_breaks(proposal(word.class_), 2)
    widths = [max(beside.width(one, 1.0, BOLD) for one in way) for way in ways]
    fits = [(min(1.15 * beside.form.key, 19.0 * k / wide), way) for wide, way in zip(widths, ways)]
    size, way = max(fits)
    if size < SMALLEST:
        size = SMALLEST
        way = tuple(beside.shortened(each, 19.0 * k, size, BOLD) for each in way)
    for at, each in enumerate(way):
        low = y + (MIDDLE + (at - (len(way) - 1) / 2) * LINE) * size
        yield from beside.texts(each, x + 13.5 * k, low, size, BOLD, INK, "middle")


def _peg_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, hair = beside.form.k, beside.form.hairline
    labels = (f"{round(100 * SURE)}+", f"{round(100 * beside.weak)}+", "")
    small = max(0.9 * beside.form.key, SMALLEST)
    for at, (label, thick) in enumerate(zip(labels, (2.7 * k, 0.9 * k, 0.0))):
        start = x + at * 15 * k
        for left in (start, start + 8 * k):
            corner = beside.at(left, y - 3 * k)
            look: Look = {"fill": PAPER, "stroke": MUTED, "width": 1.5 * hair, "role": "open"}
            yield box(*corner, 4 * k, 6 * k, **look)
        if thick:
            corner = beside.at(start + 4 * k, y - thick / 2)
            yield box(*corner, 4 * k, thick, fill=MUTED, role="muted")
        yield from beside.texts(label, start + 6 * k, y + 6.6 * k, small, PLAIN, MUTED, "middle")


def _subclass_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, colour = beside.form.k, word.class_["colour"]["outline"]
    width = 0.5 * k
    ends = beside.at(x + 0.5, y - 5 * k), beside.at(x + 0.5, y + 5 * k)
    yield line(*ends, stroke=colour, width=width)
    size = beside.form.key
    for at in range(6):
        dot = y - 5 * k + at * 2 * k
        yield line(beside.at(x + 12 * k, dot - width / 2), beside.at(x + 12 * k, dot + width / 2),
                   stroke=colour, width=width)  # fmt: skip
    yield from beside.texts("abc", x + 2 * k, y + 0.3 * size, size)
    yield from beside.texts("abc?", x + 13.5 * k, y + 0.3 * size, size, ITALIC, MUTED)


def _evidence_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, own, term = beside.form.k, word.class_["colour"], word.entry
    colours = {class_["id"]: class_["colour"]["used"] for class_ in beside.chart["classes"]}
    wide, high = 17 * k, 7 * k
    home, rival = term["home_probability"] or 0.0, term["rival_probability"] or 0.0
    corner = beside.at(x, y - high / 2)
    yield box(*corner, wide * home, high, fill=own["used"])
    if term["rival_class"] in colours and rival:
        room = wide * min(rival, 1 - home)
        yield box(corner[0] + wide * home, corner[1], room, high, fill=colours[term["rival_class"]])
    look = {"stroke": own["outline"], "width": 1.5 * beside.form.hairline}
    yield box(*corner, wide, high, fill="", **look)
    yield box(*beside.at(x + wide + 3 * k, y - high / 2), 0.5 * wide, high, fill="", **look)


def _colour_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, hair = beside.form.k, beside.form.hairline
    colour = word.entry["colour"]["picked"]
    if colour:
        yield disc(beside.at(x + 2.6 * k, y), 2.4 * k, fill=colour, stroke=INK, width=0.5 * hair)
    yield line(beside.at(x + 9 * k, y), beside.at(x + 12.5 * k, y), stroke=MUTED, width=2.4 * hair,
               role="muted")  # fmt: skip


def _word_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    if not beside.form.worded:
        return
    room = WIDTHS["word"] * unit_of(beside.form) - 3.0 * beside.form.k
    size = min(beside.form.words * 1.15, room / beside.width(word.entry["label"], 1.0, word.face))
    size = max(size, SMALLEST)
    label = beside.shortened(word.entry["label"], room, size, word.face)
    yield from beside.texts(label, x, y + MIDDLE * size, size, word.face)


def _tree_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, colour = beside.form.k, word.class_["colour"]["outline"]
    wide = beside.form.branch * 1.3
    ends = ((x, y - 3.5 * k), (x, y + 3.5 * k))
    joint = (x + 12 * k, y)
    for end in ends:
        yield line(beside.at(*end), beside.at(x + 5 * k, end[1]), beside.at(*joint),
                   stroke=colour, width=wide)  # fmt: skip
    last = (x + 22 * k, y)
    yield line(beside.at(*joint), beside.at(*last), stroke=colour, width=wide)
    yield disc(beside.at(*joint), 2.2 * wide, fill=colour)
    yield disc(
        beside.at(*last), 2.2 * wide, fill=PAPER, stroke=colour, width=0.8 * wide, role="open"
    )


ICONS = {
    "class": _class_icon,
    "peg": _peg_icon,
    "subclass": _subclass_icon,
    "evidence": _evidence_icon,
    "colour": _colour_icon,
    "word": _word_icon,
    "tree": _tree_icon,
}
