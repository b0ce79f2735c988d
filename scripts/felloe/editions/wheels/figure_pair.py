"""Both editions' published wheels side by side, and the terms that moved between them."""

from collections import Counter
from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from felloe.comparison.provisional_words import marked
from felloe.editions.columns import figure_words as words
from felloe.editions.fates import COMMON
from felloe.editions.wheels.figure_joins import End, draw_joins, label_width
from felloe.editions.wheels.figure_key import draw_pair_head, draw_pair_key
from felloe.editions.wheels.figure_marks import Marks, draw_mark, marks_of
from felloe.editions.wheels.form import (
    ALL,
    MARGIN,
    WIDTH,
    Planned,
    bearings_of,
    far_side,
    form_of,
    plan_wheels,
)
from felloe.editions.wheels.hues import Partners, in_hues_of, partners_of
from felloe.editions.wheels.lanes import LEFT, RIGHT
from felloe.editions.wheels.turning import best_turn, turned
from felloe.ground.drawing import INK, MUTED, PREVIEW
from felloe.ground.files.tables import Row
from felloe.report.chart import Record, chart_terms, on_ring
from felloe.report.sheet.felloes import draw_felloe
from felloe.report.sheet.level import Level
from felloe.report.sheet.name_fitting import letters_of
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.shapes import Group, Sheet
from felloe.report.sheet.spoke_fitting import Word, middle_of
from felloe.report.sheet.spokes import Sides, class_sides, evidence, lettering
from felloe.report.typeface.faces import BOLD
from felloe.report.typeface.shaping import Typesetter

SIDES = ("older", "newer")


@dataclass(frozen=True)
class Pair:
    """
    Two editions to be drawn side by side.

    Attributes
    ----------
    charts : (dict, dict)
        `chart.json` of the older edition, in the hues of the newer, and of the newer one.
    editions : (str, str)
    partners : Partners
    moved : sequence of dict
        Rows of the terms whose move is told from noise.
    marks : (dict, dict)
        How each term of either wheel is marked.
    changes : dict of str to int
        Terms by what became of them, and by the grade of their move.
    turn : int
        Degrees by which the older wheel is turned to lie as the newer one.
    preview : str
        The mark of a preview.
    """

    charts: tuple[Record, Record]
    editions: tuple[str, str]
    partners: Partners
    moved: Sequence[Row]
    marks: tuple[Marks, Marks]
    changes: Mapping[str, int]
    turn: int
    preview: str


def pair_of(record: Mapping[str, Any], rows: Sequence[Row], older: Record, newer: Record) -> Pair:
    """
    Return what is drawn of two editions.

    Parameters
    ----------
    record : dict
        `comparison.json`.
    rows : sequence of dict
        Of the editions' `terms.csv`.
    older, newer : dict
        `chart.json` of both.
    """
    partners = partners_of(record["classes"])
    marks = marks_of(rows)
    turn = turn_of(rows, older, newer)
    lent = turned(in_hues_of(older, newer, partners), turn)
    return Pair(
        (with_moved(lent, marks[0]), with_moved(newer, marks[1])),
        (
            marked(record["older"]["edition"], record["older"]["provisional"]),
            marked(record["newer"]["edition"], record["newer"]["provisional"]),
        ),
        partners,
        [row for row in rows if row["migration"] in words.MOVES],
        marks,
        Counter(row["change"] for row in rows) + Counter(row["migration"] for row in rows),
        turn,
        PREVIEW if record["preview"] else "",
    )


def turn_of(rows: Sequence[Row], older: Record, newer: Record) -> int:
    """Return by how many degrees the older wheel is turned to lie as the newer one."""
    ids = {row["term_older"]: row["term"] for row in rows if row["change"] in COMMON}
    before = {ids[term]: at for term, at in places_of(older).items() if term in ids}
    return best_turn(before, places_of(newer))


def with_moved(chart: Record, marks: Marks) -> Record:
    """Return a chart in which those terms are set bold that moved, whatever a wheel's own rule."""
    chart = deepcopy(chart)
    for _, _, term in chart_terms(chart):
        if term["status"] != "moved":  # by its committee: it stays italic, its evidence open
            term["status"] = "told" if marks.get(term["id"]) in words.MOVES else "firm"
    return chart


def draw_pair(pair: Pair, setter: Typesetter) -> Sheet:
    """
    Draw two wheels side by side.

    Parameters
    ----------
    pair : Pair
    setter : Typesetter

    Returns
    -------
    Sheet
    """
    ids = [[row["term_older"] for row in pair.moved], [row["term"] for row in pair.moved]]
    places = [places_of(chart) for chart in pair.charts]
    bearings = [bearings_of(*each) for each in zip(places, ids, (LEFT, RIGHT), strict=True)]
    ends = [
        [end_of(chart, term) for term in terms]
        for chart, terms in zip(pair.charts, ids, strict=True)
    ]
    labels = [words.label_of(row) for row in pair.moved]
    form = form_of(label_width(labels, setter), far_side(bearings))
    planned = plan_wheels(pair.charts, pair.marks, form.wheel, setter)
    level = Level(setter, form.wheel)
    body = Group("sheet", kind="sheet")
    for side, chart, plan, marks, centre in zip(
        SIDES, pair.charts, planned.plans, pair.marks, form.centres, strict=True
    ):
        wheel = draw_one(side, chart, plan, marks, level)
        wheel.at = centre
        body.add(wheel)
    key, lowest = draw_pair_key(pair, form, level, told_beside(pair, planned, ends))
    body.add(
        draw_joins(pair.moved, bearings, ends, form, level),
        draw_pair_head(pair.charts, pair.editions, pair.preview, form, level),
        key,
    )
    return Sheet(
        WIDTH, lowest + MARGIN, (0.0, 0.0), words.wheels_title(*pair.editions, bool(pair.preview)),
        words.wheels_described(pair.editions, pair.moved, pair.changes), words.LANGUAGE, body,
        planned.written == ALL,
    )  # fmt: skip


def places_of(chart: Record) -> dict[str, float]:
    """Return the degrees of each term; of one that gave its group the name, those of the group."""
    found = {}
    for class_, subclass, term in chart_terms(chart, with_absorbed=True):
        for entry in (term, subclass, class_):
            if entry["start_deg"] is not None:
                found[term["id"]] = middle_of(entry)
                break
    return found


def end_of(chart: Record, term: str) -> End:
    """Return how the line of a term looks on one side: in the colour of its class."""
    return next(
        End(str(class_["colour"]["outline"]), entry["start_deg"] is not None)
        for class_, _, entry in chart_terms(chart, with_absorbed=True)
        if entry["id"] == term
    )


def told_beside(pair: Pair, planned: Planned, ends: Sequence[Sequence[End]]) -> list[str]:
    """Return what has to be said of this pair that most pairs do not need."""
    told = [words.off_ring(pair.editions, [off_ring(chart) for chart in pair.charts])]
    if not all(end.own for side in ends for end in side):
        told[0] += f" {words.OF_GROUP}"
    told += words.WRITTEN[planned.written]
    named = [f"{letters_of(at)} {name}" for at, name in planned.numbered]
    return list(filter(None, [*told, words.letters_told(named)]))


def off_ring(chart: Record) -> list[str]:
    """Return the terms that gave their group the name and have no place on the ring."""
    return [
        str(term["label"])
        for _, _, term in chart_terms(chart, with_absorbed=True)
        if term["start_deg"] is None
    ]


def draw_one(side: str, chart: Record, plan: Plan, marks: Marks, level: Level) -> Group:
    """Draw one wheel: classes, terms with their evidence and marks; its edition in the middle."""
    group = Group(f"{side}-wheel", kind="wheel")
    set_words = {word.entry["id"]: word for word in plan.words}
    sides = class_sides(chart)
    for class_ in on_ring(chart["classes"]):
        part = Group(f"{side}-class-{class_['id']}", class_["name"], "class")
        part.add(*draw_felloe(class_, plan))
        for subclass in class_["subclasses"]:
            for term in subclass["terms"]:
                title = words.path_told(class_["name"], term["label"])
                word = set_words[term["id"]]
                part.add(draw_term(side, word, plan, sides, title, marks.get(term["id"], "")))
        group.add(part)
    group.add(draw_middle(chart, plan, level))
    return group


def draw_term(side: str, word: Word, plan: Plan, sides: Sides, title: str, mark: str) -> Group:
    """Draw a term with its mark."""
    group = Group(f"{side}-term-{word.entry['id']}", title, "term")
    group.add(*lettering(word, plan), *evidence(word, plan, sides))
    if mark:
        group.add(*draw_mark(mark, plan, word))
    return group


def draw_middle(chart: Record, plan: Plan, level: Level) -> Group:
    """Write the edition and its size into the middle of its wheel."""
    group = Group(kind="centre")
    room = 2 * 0.85 * min(plan.leaf, plan.form.hub * plan.form.radius)
    edition = str(chart["edition"])
    size = plan.form.title
    size *= min(1.0, room / level.width(edition, size, BOLD))
    least = 0.9 * plan.form.note
    if size < least:
        size = least
        edition = level.shortened(edition, room, size, BOLD)
    count = words.size_of(len(list(chart_terms(chart, with_absorbed=True))))
    group.add(
        *level.texts(edition, 0.0, 0.2 * size, size, BOLD, INK, "middle"),
        *level.texts(count, 0.0, 0.2 * size + 1.6 * least, least, color=MUTED, anchor="middle"),
    )
    return group
