"""One screen for a terminal: whether results were reproduced, and how two runs differ."""

from collections.abc import Sequence
from textwrap import wrap

from felloe.audit import chart_words, content_words, pair_words, words
from felloe.audit.changes import SURROUNDINGS
from felloe.audit.chart_changes import Effects
from felloe.audit.comparison import Comparison
from felloe.audit.pair_changes import PairEffects, by_standing
from felloe.audit.phrases import ARROW, Sides, counted, listed
from felloe.errors import SCREEN_LINES, shortened

WIDTH = 118
INDENT = "  "
FEWEST_LINES = 4  # of a study that differs, however many there are
MOST_CELLS = 6
MOST_CAUSES = 6
MOST_NAMES = 4
MOST_INDICES = 6
MANY_FILES = 6  # from here on fewer cells are shown of each
FEW_CELLS = 2
NAME_LINES = {"class": 5, "subclass": 2, "status": 1, "absorbed": 1, "data_class": 1}
VERIFY_SIDES = ("the results", "the recomputation")
RUN_SIDES = ("A", "B")
BESIDE = "files that no manifest lists, or other SHA256SUMS"


def screen_of_verify(comparisons: Sequence[Comparison], sides: Sides = VERIFY_SIDES) -> str:
    """
    Say whether results were reproduced, and if not, where not and why.

    Parameters
    ----------
    comparisons : sequence of Comparison
        The first folder of each holds the results, the second what was recomputed.
    sides : (str, str)
        What the two are called.

    Returns
    -------
    str
        At most `SCREEN_LINES` lines, without a line end.
    """
    bad = [one for one in comparisons if not one.reproduced]
    unlike = [one for one in comparisons if not one.whole]
    number = counted(len(comparisons), "folder of results", "folders of results")
    if bad:
        head = f"Not reproduced: {len(bad)} of {number}."
        explained = f"Values stand as in {sides[0]}{ARROW}as in {sides[1]}."
    elif unlike:
        head = f"Not the same: in {len(unlike)} of {number} are {BESIDE}."
        explained = f"Values stand as in {sides[0]}{ARROW}as in {sides[1]}."
    else:
        head = f"Reproduced: {number}, every file of every manifest is the same."
        explained = ""
    blocks = [
        [f"{one.name}: {verdict(one, sides)}", *indented(details_of_verify(one, sides))]
        for one in comparisons
    ]
    return screen([head, *([explained] if explained else [])], blocks)


def verdict(one: Comparison, sides: Sides) -> str:
    """Return whether the results of one folder were reproduced, on a line."""
    if one.reproduced and one.beside:
        return f"every file that its manifest lists was reproduced; {words.files(one, sides)}."
    if one.reproduced:
        if one.same:
            return f"{words.files(one, sides)}."
        return f"reproduced; beside what the manifest lists, {words.files(one, sides)}."
    return f"NOT reproduced: {words.files(one, sides)}."


def details_of_verify(one: Comparison, sides: Sides) -> list[str]:
    """Return the lines about one folder of results that was recomputed."""
    beside = [f"not as its manifest says: {listed(one.beside, MOST_NAMES)}"] if one.beside else []
    if one.same:
        return [*notes(one, sides), *beside]
    return [
        *notes(one, sides),
        *beside,
        *causes(one, sides),
        *surroundings(one),
        *files(one, sides),
    ]


def surroundings(one: Comparison) -> list[str]:
    """Return what the two were made on, where nothing else that is recorded explains a file."""
    asked = any(change.kind == SURROUNDINGS for change, _ in words.causes(one))
    if not asked or not one.surroundings:
        return []
    entries = [content_words.entry(entry) for entry in one.surroundings]
    return ["made on something else:", *indented(cut(entries, MOST_CAUSES))]


def screen_of_runs(comparisons: Sequence[Comparison], sides: Sides = RUN_SIDES) -> str:
    """
    Say how two runs differ, by their settings and by what follows for the chart.

    Parameters
    ----------
    comparisons : sequence of Comparison
    sides : (str, str)
        What the two runs are called.

    Returns
    -------
    str
        At most `SCREEN_LINES` lines, without a line end.
    """
    different = [one for one in comparisons if not one.same]
    number = counted(len(comparisons), "folder of results", "folders of results")
    if different:
        verb = "differs" if len(different) == 1 else "differ"
        order = f"Values stand as in {sides[0]}{ARROW}as in {sides[1]}."
        head = f"{len(different)} of {number} {verb}. {order}"
    else:
        head = f"No difference: {number}."
    blocks = [
        [f"{one.name}: {words.files(one, sides)}.", *indented(details_of_runs(one, sides))]
        for one in comparisons
    ]
    return screen([head], blocks)


def details_of_runs(one: Comparison, sides: Sides) -> list[str]:
    """Return the lines about one folder of results of two runs."""
    if one.same:
        return notes(one, sides)
    effects = effect_lines(one.effects, sides) if one.effects else []
    effects += pair_lines(one.pair, sides) if one.pair else []
    few = len(one.different) <= MANY_FILES
    changed = files(one, sides) if few else by_folder(one)
    return [*notes(one, sides), *causes(one, sides), *effects, *changed]


def notes(one: Comparison, sides: Sides) -> list[str]:
    """Return what the comparison had to do without."""
    return words.notes(one.notes, sides)


def causes(one: Comparison, sides: Sides) -> list[str]:
    """Return what the differences come from, and what differs without consequence."""
    traced = [
        f"{words.change(change, sides)} ({counted(number, 'file', 'files')})"
        for change, number in words.traced(one)
    ]
    idle = [words.change(change, sides) for change in words.idle(one)]
    lines = []
    if traced:
        lines += ["comes from, as both runs recorded it:", *indented(cut(traced, MOST_CAUSES))]
    if idle:
        head = "differs too, and no file was traced to it:" if traced else "the runs differ in:"
        lines += [head, *indented(cut(idle, MOST_CAUSES))]
    return lines


def effect_lines(effects: Effects, sides: Sides) -> list[str]:
    """Return what follows for the chart."""
    width = WIDTH - len(INDENT)
    lines = [chart_words.fact(fact) for fact in effects.facts]
    for kind in chart_words.MOVES:
        found = effects.of_kind(kind)
        names = [f"{move.label} ({chart_words.place(move)})" for move in found]
        lines += (
            chart_words.fitting(chart_words.moved(found), names, width, NAME_LINES[kind])
            if found
            else []
        )
    if not effects.moves and not effects.unread:
        lines.append("no term changes its class, subclass or status")
    for side, terms in zip(sides, (effects.terms_was, effects.terms_now)):
        number = counted(len(terms), "term", "terms")
        lines += chart_words.fitting(f"{number} only in {side}", terms, width) if terms else []
    if effects.n_neighbours_changed:
        number = counted(effects.n_neighbours_changed, "term has", "terms have")
        lines.append(f"{number} other neighbours on the ring")
    if effects.colours:
        names = [f"{one.name} ({one.was}{ARROW}{one.now})" for one in effects.colours]
        number = counted(len(names), "colour differs", "colours differ")
        lines += chart_words.fitting(number, names, width)
    lines += [f"could not be read: {path}" for path in effects.unread]
    return lines


def pair_lines(effects: PairEffects, sides: Sides) -> list[str]:
    """Return what follows for a comparison of editions."""
    broken = pair_words.broken(effects, sides)
    lines = [*([broken] if broken else []), *verdict_lines(effects, sides)]
    if effects.indices:
        number = f"{len(effects.indices)} of {effects.n_indices}"
        shown = [pair_words.index(one) for one in effects.indices]
        lines += [f"indices that change ({number}):", *indented(cut(shown, MOST_INDICES))]
    elif effects.n_indices:
        lines.append(pair_words.no_index(effects))
    told = [*by_standing(effects.grades).items(), *by_standing(effects.paths).items()]
    for codes, found in told:
        names = [one.label for one in found]
        lines += chart_words.fitting(pair_words.head(codes, found), names, WIDTH - len(INDENT))
    if not effects.grades and effects.n_terms:
        lines.append(pair_words.no_grade(effects))
    if not effects.paths and effects.n_paths:
        lines.append(pair_words.no_path(effects))
    for side, terms in zip(sides, (effects.terms_was, effects.terms_now)):
        number = counted(len(terms), "term", "terms")
        lines += chart_words.fitting(f"{number} only in {side}", terms, WIDTH) if terms else []
    return [*lines, *(f"could not be read: {path}" for path in effects.unread)]


def verdict_lines(effects: PairEffects, sides: Sides) -> list[str]:
    """Return the sentences of the verdict that say something else, not other numbers alone."""
    told = [pair_words.sentence(one, sides) for one in effects.verdicts if not one.in_numbers_alone]
    width = WIDTH - len(INDENT)
    return [line for said in told for line in wrap(said, width, subsequent_indent=INDENT)]


def files(one: Comparison, sides: Sides) -> list[str]:
    """Return every file that is not the same, the ones nearest to the cause first."""
    most = FEW_CELLS if len(one.different) > MANY_FILES else MOST_CELLS
    lines = []
    for path in words.nearest_first(one):
        lines.append(f"{path}: {words.difference(one, path, sides)}")
        lines += indented(inside(one, path, most))
    return lines


def inside(one: Comparison, path: str, most: int) -> list[str]:
    """Return the first cells or entries that differ between the two files of one path."""
    table, content = one.table(path), one.content(path)
    if table:
        return cut(
            [content_words.cell(cell, table.key) for cell in table.cells], most, table.n_cells
        )
    if content:
        return cut([content_words.entry(entry) for entry in content.entries], most, content.number)
    return []


def by_folder(one: Comparison) -> list[str]:
    """Return how many files differ in each folder of the results, on a line."""
    counts: dict[str, int] = {}
    for file in one.different:
        folder = file.path.rpartition("/")[0] or "top"
        counts[folder] = counts.get(folder, 0) + 1
    told = [f"{name} {number}" for name, number in sorted(counts.items())]
    return [f"files by folder: {', '.join(told)}"]


def cut(lines: Sequence[str], most: int, number: int | None = None) -> list[str]:
    """Return the first lines, and how many more there are of all."""
    more = (len(lines) if number is None else number) - min(most, len(lines))
    return [*lines[:most], *([f"... and {more} more"] if more > 0 else [])]


def indented(lines: Sequence[str]) -> list[str]:
    """Return lines moved in by two."""
    return [f"{INDENT}{line}" for line in lines]


def screen(head: list[str], blocks: Sequence[Sequence[str]]) -> str:
    """
    Fit blocks of lines, each led by its heading, into one screen.

    Short blocks stand whole, long ones share the rest; what is cut is counted.
    """
    room = SCREEN_LINES - len(head)
    most = fair_share([len(block) for block in blocks], room - 1)
    lines = [line for block in blocks for line in fitted(block, max(most, FEWEST_LINES))]
    if len(lines) > room:
        lines = [*lines[: room - 1], f"... and {len(lines) - room + 1} more lines"]
    return "\n".join(shortened(line, WIDTH) for line in [*head, *lines])


def fair_share(lengths: Sequence[int], room: int) -> int:
    """Return the largest length to which all have to be cut for their sum to fit."""
    longest = max(lengths, default=0)
    return next(
        (most for most in range(longest, 0, -1) if sum(min(n, most) for n in lengths) <= room), 1
    )


def fitted(block: Sequence[str], most: int) -> list[str]:
    """Return a block cut to a number of lines, the last of which counts what is cut."""
    if len(block) <= most:
        return list(block)
    return [*block[: most - 1], f"{INDENT}... and {len(block) - most + 1} more lines"]
