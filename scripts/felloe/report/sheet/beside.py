"""What stands around the wheel: the title, what is not settled, and the key."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from felloe.ground.drawing import ACCENT, INK, MUTED, PAPER, RULE
from felloe.report.chart import Record, chart_terms
from felloe.report.languages.language_words import Words
from felloe.report.mark_words import marks_in_short
from felloe.report.sheet.felloes import SURE
from felloe.report.sheet.plan import (
    LINE,
    SMALLEST,
    Plan,
    Word,
    face_of,
    is_lone,
    letters_of,
    line_breaks,
    proposal,
)
from felloe.report.sheet.shapes import Anchor, Group, Part, Text, box, disc, line
from felloe.report.typeface.faces import BOLD, ITALIC, PLAIN, Face
from felloe.report.typeface.shaping import Typesetter, clusters

LEADING = 1.24
COLUMNS = ("class", "peg", "subclass", "evidence", "colour", "word", "tree")
WIDTHS = {"peg": 1.45, "evidence": 1.2, "tree": 1.2, "colour": 0.85, "word": 0.95, "class": 1.0}


@dataclass(frozen=True)
class Beside:
    """What the parts around a wheel share."""

    chart: Record
    plan: Plan
    setter: Typesetter
    words: Words
    note: str
    weak: float

    @property
    def k(self) -> float:
        """The sheet's scale beside A3."""
        return self.plan.form.radius / 139.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Turn a place on the paper into one around the centre."""
        return x - self.plan.form.centre[0], y - self.plan.form.centre[1]

    def text(
        self,
        text: str,
        x: float,
        y: float,
        size: float,
        face: Face = PLAIN,
        color: str = INK,
        anchor: Anchor = "start",
    ) -> Text:
        """Return a level line of text; x and y are on the paper."""
        role = {INK: "ink", MUTED: "muted", ACCENT: "accent"}.get(color, "")
        return Text(text, *self.at(x, y), size, color, face, 0.0, anchor, role)

    def wrapped(self, text: str, width: float, size: float, face: Face = PLAIN) -> list[str]:
        """Break a text into lines of a width."""
        lines: list[str] = []
        for word in self.broken(text, width, size, face):
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and self.setter.width(longer, face) * size <= width:
                lines[-1] = longer
            else:
                lines.append(word)
        return lines

    def broken(self, text: str, width: float, size: float, face: Face) -> Iterator[str]:
        """Yield the words of a text; one that is wider than a line comes in parts."""
        for word in text.split():
            part = ""
            for letters in clusters(word):
                if part and self.setter.width(part + letters, face) * size > width:
                    yield part
                    part = ""
                part += letters
            yield part

    def block(
        self, text: str, x: float, y: float, width: float, size: float, color: str = INK
    ) -> tuple[list[Part], float]:
        """Set a text in lines; return them and the next line's height on the paper."""
        parts: list[Part] = []
        for each in self.wrapped(text, width, size):
            parts.append(self.text(each, x, y, size, color=color))
            y += LEADING * size
        return parts, y


def draw_head(beside: Beside) -> Group:
    """Write the title, the edition and who sorted."""
    form, group = beside.plan.form, Group(kind="head")
    width = form.width - 2 * form.margin
    if unsettled(beside.chart) or moved(beside.chart):
        width -= 74.0 * beside.k
    size = form.title
    lines = beside.wrapped(beside.chart["title"], width, size)
    while len(lines) > 2 and size > 0.5 * form.title:
        size *= 0.94
        lines = beside.wrapped(beside.chart["title"], width, size)
    y = form.margin + 0.75 * size
    for each in lines[:4]:
        group.add(beside.text(each, form.margin, y, size))
        y += 1.1 * size
    y += 0.75 * form.note
    edition = beside.words.fill("sheet.edition", edition=beside.chart["edition"])
    parts, _ = beside.block(f"{edition} {beside.note}", form.margin, y, width, form.note, MUTED)
    group.add(*parts)
    return group


def draw_centre(beside: Beside) -> Group:
    """Write the marks of a chart that may not be quoted into its middle."""
    group = Group(kind="centre")
    if marks := marks_in_short(beside.chart, beside.words):
        form, (x, y) = beside.plan.form, beside.plan.form.centre
        size = 1.5 * form.note
        wide = beside.setter.width(marks, BOLD) * size
        if wide > 1.5 * beside.plan.leaf:
            size *= 1.5 * beside.plan.leaf / wide
            wide = 1.5 * beside.plan.leaf
        group.add(
            box(
                -wide / 2 - size / 2,
                -0.75 * size,
                wide + size,
                1.5 * size,
                fill=PAPER,
                role="paper",
            ),
            beside.text(marks, x, y + 0.34 * size, size, BOLD, ACCENT, "middle"),
        )
    return group


def unsettled(chart: Record) -> list[tuple[Record, Record]]:
    """Return the terms whose place is not settled with their classes, the least settled first."""
    found = [
        (class_, term)
        for class_, _, term in chart_terms(chart)
        if term["status"] in ("doubtful", "undecided")
    ]
    return sorted(found, key=lambda pair: (pair[1]["home_probability"] or 0.0, pair[1]["id"]))


def moved(chart: Record) -> list[tuple[Record, Record]]:
    """Return the terms that the committee placed with their classes, in order of their labels."""
    found = [(class_, term) for class_, _, term in chart_terms(chart) if term["status"] == "moved"]
    return sorted(found, key=lambda pair: str(pair[1]["label"]))


def draw_unsettled(beside: Beside) -> Group:
    """List the words in bold and italics with their shares, beside the title."""
    form, group, words = beside.plan.form, Group(kind="unsettled"), beside.words
    found = [*unsettled(beside.chart), *moved(beside.chart)]
    if not found:
        return group
    size = form.key
    x, y = form.width - form.margin - 68.0 * beside.k, form.margin + 0.75 * size
    width = 68.0 * beside.k
    group.add(beside.text(words["sheet.unsettled"], x, y, size, BOLD))
    parts, y = beside.block(
        words["sheet.unsettled_note"], x, y + LEADING * size, width, size, MUTED
    )
    group.add(*parts)
    lowest = form.centre[1] - form.radius + 14.0 * beside.k
    rows = [_row(beside, x, width, class_, term) for class_, term in found]
    room = int((lowest - y) / (LEADING * size)) + 1
    shown = 0
    while shown < len(rows) and len(rows[shown]) <= room - (shown + 1 < len(rows)):
        for texts in rows[shown]:
            group.add(*(replace(text, y=text.y + y) for text in texts))
            y += LEADING * size
            room -= 1
        shown += 1
    if shown < len(rows):
        more = words.fill("sheet.more", number=len(rows) - shown)
        group.add(beside.text(more, x, y, size, color=MUTED))
    return group


def _row(beside: Beside, x: float, width: float, class_: Record, term: Record) -> list[list[Text]]:
    """Return the lines of a word in the list, their heights still to be added."""
    size, face = beside.plan.form.key, face_of(term)
    text = told_of(beside, class_, term)
    label = term["label"]
    indent = beside.setter.width(label, face) * size + 0.6 * size
    first, *rest = beside.wrapped(text, width - indent, size) or [""]
    if beside.setter.width(label, face) * size > 0.6 * width:
        label = _cut(beside, label, 0.6 * width, size, face)
        indent = beside.setter.width(label, face) * size + 0.6 * size
        first, *rest = beside.wrapped(text, width - indent, size)
    lines = [[beside.text(label, x, 0.0, size, face), beside.text(first, x + indent, 0.0, size)]]
    for each in beside.wrapped(" ".join(rest), width - 2 * size, size):
        lines.append([beside.text(each, x + 2 * size, 0.0, size)])
    return lines


def told_of(beside: Beside, class_: Record, term: Record) -> str:
    """Return how often redraws put a term into its class and into its rival."""
    key = "unsettled_row" if term["rival_class"] else "unsettled_alone"
    if term["status"] == "moved":
        key = "unsettled_moved"
    elif is_lone(class_):
        key = "unsettled_lone"
    return beside.words.fill(
        f"sheet.{key}",
        home=hundred(term["home_probability"]),
        own=class_["name"],
        rival=hundred(term["rival_probability"]),
        other=term["rival_class_name"],
    )


def _cut(beside: Beside, text: str, width: float, size: float, face: Face = PLAIN) -> str:
    """Shorten a text to a width, saying so."""
    if beside.setter.width(text, face) * size <= width:
        return text
    while text and beside.setter.width(f"{text}…", face) * size > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def hundred(share: float | None) -> str:
    """Return how many of 100 a share is; never 100 for less than all, nor 0 for some."""
    if share is None:
        return "?"
    number = round(100 * share)
    return str(min(max(number, int(share > 0)), 99 if share < 1 else 100))


def draw_numbered(beside: Beside) -> Group:
    """List the names that had no room on their arc."""
    form, group = beside.plan.form, Group(kind="numbered")
    if not beside.plan.numbered:
        return group
    size, y = form.key, form.centre[1] + form.radius - 24.0 * beside.k
    rows = [f"{letters_of(number)}  {name}" for number, name in beside.plan.numbered]
    half = -(-len(rows) // 2) if len(rows) > 8 else len(rows)
    for column, part in enumerate((rows[:half], rows[half:])):
        x = form.margin if column == 0 else form.width - form.margin
        anchor: Anchor = "start" if column == 0 else "end"
        at = y
        if part:
            group.add(beside.text(beside.words["sheet.numbered"], x, at, size, BOLD, INK, anchor))
        for row in part:
            at += LEADING * size
            group.add(beside.text(row, x, at, size, anchor=anchor))
    return group


def draw_key(beside: Beside) -> Group:
    """Explain one spoke part by part, numbered from the rim inwards, on a strip under the wheel."""
    form, group, k = beside.plan.form, Group(kind="key"), beside.k
    top = form.centre[1] + form.radius + 9.0 * k
    left, width = form.margin, form.width - 2 * form.margin
    unit = width / sum(WIDTHS.get(name, 1.0) for name in COLUMNS)
    word = example(beside)
    texts = key_texts(beside, word)
    x, y, lowest = left, top + 17.0 * k, 0.0
    group.add(line(beside.at(left, top + 7 * k), beside.at(left + width, top + 7 * k),
                   stroke=RULE, width=form.hairline, role="rule"))  # fmt: skip
    for number, name in enumerate(COLUMNS, 1):
        room = unit * WIDTHS.get(name, 1.0)
        group.add(*ICONS[name](beside, word, x, top + 7 * k))
        size = form.key
        group.add(beside.text(f"{number}", x, y, size, BOLD, ACCENT))
        indent = beside.setter.width("0", BOLD) * size + 0.45 * size
        group.add(beside.text(beside.words[f"sheet.{name}"], x + indent, y, size, BOLD))
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
    words, term = beside.words, word.entry
    told = {
        "home": hundred(term["home_probability"]),
        "rival": hundred(term["rival_probability"]),
        "own": word.class_["name"],
        "other": term["rival_class_name"],
        "term": term["label"],
    }
    kind = "evidence_text" if term["rival_class"] else "evidence_sure"
    pegs = {"sure": round(100 * SURE), "weak": round(100 * beside.weak)}
    return {
        "class": [beside.words["sheet.class_text"]],
        "peg": [beside.words.fill("sheet.peg_text", **pegs), *gap_text(beside)],
        "evidence": [beside.words.fill(f"sheet.{kind}", **told)],
        **{each: [words[f"sheet.{each}_text"]] for each in ("subclass", "colour", "word", "tree")},
    }


def gap_text(beside: Beside) -> list[str]:
    """Say what gaps between classes mean, in people."""
    ring = [class_ for class_ in beside.chart["classes"] if class_["start_deg"] is not None]
    joins = [
        [term for subclass in class_["subclasses"] for term in subclass["terms"]][-1]
        for class_ in ring
    ]
    heights = [term["join_height_to_next"] for term in joins]
    known = [1.0 - height for height in heights if height is not None]
    if len(ring) < 2 or not known:
        return []
    least, most = hundred(max(0.0, min(known))), hundred(max(0.0, max(known)))
    key = "gap_alike" if least == most else "gap_text"
    return [beside.words.fill(f"sheet.{key}", least=least, most=most)]


def _class_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, colour = beside.k, word.class_["colour"]
    look = {"stroke": colour["outline"], "width": 2 * beside.plan.form.hairline}
    yield box(*beside.at(x, y - 5 * k), 24 * k, 10 * k, fill=PAPER, role="paper", **look)
    yield box(*beside.at(x, y - 5 * k), 3 * k, 10 * k, fill=colour["used"], **look)
    ways = line_breaks(proposal(word.class_), 2)
    widths = [max(beside.setter.width(one, BOLD) for one in way) for way in ways]
    fits = [
        (min(1.15 * beside.plan.form.key, 19.0 * k / wide), way) for wide, way in zip(widths, ways)
    ]
    size, way = max(fits)
    if size < SMALLEST:
        size = SMALLEST
        way = tuple(_cut(beside, each, 19.0 * k, size, BOLD) for each in way)
    for at, each in enumerate(way):
        low = y + (0.34 + (at - (len(way) - 1) / 2) * LINE) * size
        yield beside.text(each, x + 13.5 * k, low, size, BOLD, INK, "middle")


def _peg_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, hair = beside.k, beside.plan.form.hairline
    labels = (f"{round(100 * SURE)}+", f"{round(100 * beside.weak)}+", "")
    small = max(0.9 * beside.plan.form.key, SMALLEST)
    for at, (label, thick) in enumerate(zip(labels, (2.7 * k, 0.9 * k, 0.0))):
        start = x + at * 15 * k
        for left in (start, start + 8 * k):
            corner = beside.at(left, y - 3 * k)
            look: dict[str, float | str] = {"stroke": MUTED, "width": 1.5 * hair, "role": "open"}
            yield box(*corner, 4 * k, 6 * k, fill=PAPER, **look)
        if thick:
            corner = beside.at(start + 4 * k, y - thick / 2)
            yield box(*corner, 4 * k, thick, fill=MUTED, role="muted")
        yield beside.text(label, start + 6 * k, y + 6.6 * k, small, PLAIN, MUTED, "middle")


def _subclass_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, colour = beside.k, word.class_["colour"]["outline"]
    width = 0.5 * k
    ends = beside.at(x + 0.5, y - 5 * k), beside.at(x + 0.5, y + 5 * k)
    yield line(*ends, stroke=colour, width=width)
    size = beside.plan.form.key
    for at in range(6):
        dot = y - 5 * k + at * 2 * k
        yield line(beside.at(x + 12 * k, dot - width / 2), beside.at(x + 12 * k, dot + width / 2),
                   stroke=colour, width=width)  # fmt: skip
    yield beside.text("abc", x + 2 * k, y + 0.3 * size, size)
    yield beside.text("abc?", x + 13.5 * k, y + 0.3 * size, size, ITALIC, MUTED)


def _evidence_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, own, term = beside.k, word.class_["colour"], word.entry
    colours = {class_["id"]: class_["colour"]["used"] for class_ in beside.chart["classes"]}
    wide, high = 17 * k, 7 * k
    home, rival = term["home_probability"] or 0.0, term["rival_probability"] or 0.0
    corner = beside.at(x, y - high / 2)
    yield box(*corner, wide * home, high, fill=own["used"])
    if term["rival_class"] in colours and rival:
        room = wide * min(rival, 1 - home)
        yield box(corner[0] + wide * home, corner[1], room, high, fill=colours[term["rival_class"]])
    look = {"stroke": own["outline"], "width": 1.5 * beside.plan.form.hairline}
    yield box(*corner, wide, high, fill="", **look)
    yield box(*beside.at(x + wide + 3 * k, y - high / 2), 0.5 * wide, high, fill="", **look)


def _colour_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, hair = beside.k, beside.plan.form.hairline
    colour = word.entry["colour"]["picked"]
    if colour:
        yield disc(beside.at(x + 2.6 * k, y), 2.4 * k, fill=colour, stroke=INK, width=0.5 * hair)
    yield line(beside.at(x + 9 * k, y), beside.at(x + 12.5 * k, y), stroke=MUTED, width=2.4 * hair,
               role="muted")  # fmt: skip


def _word_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    width = beside.plan.form.width - 2 * beside.plan.form.margin
    room = WIDTHS["word"] * width / sum(WIDTHS.get(name, 1.0) for name in COLUMNS) - 3.0 * beside.k
    size = min(
        beside.plan.form.words * 1.15, room / beside.setter.width(word.entry["label"], word.face)
    )
    size = max(size, SMALLEST)
    label = _cut(beside, word.entry["label"], room, size, word.face)
    yield beside.text(label, x, y + 0.34 * size, size, word.face)


def _tree_icon(beside: Beside, word: Word, x: float, y: float) -> Iterator[Part]:
    k, colour = beside.k, word.class_["colour"]["outline"]
    wide = beside.plan.form.branch * 1.3
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
