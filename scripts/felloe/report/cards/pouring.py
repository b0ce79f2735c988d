"""The text of a card poured into its body: the largest size that fits, or several cards."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from felloe.ground.drawing import POINT_MM
from felloe.report.cards.deck import Block, Card
from felloe.report.cards.lettering import Lettering
from felloe.report.languages.language_words import Words
from felloe.report.typeface.breaking import Line, broken

# points; smaller is not read at a table
SIZES = (12.0, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
SMALL = 7.0
HEADING = 7.5
LOUD = 10.5  # a heading that nobody may overlook
LEADING = 1.32  # from line to line, in sizes
PADDING = 2.2  # within the frame of a caution, mm
PINNED_SHARE = 0.45  # of the body that a caution may take on every card of a term
FEWEST_LINES = 2  # of a text that stand alone before or after it goes on
DOSE_LINES = 1.5  # room to write in
SAMPLE = 6.5  # the same, of the row about the sample, mm
GAPS = {"subclass": 0.3, "caution": 0.5}  # before a block, in lines
GAP = 0.65
CELL = 1.0  # the cell before a subclass, in lines


def leading(size: float) -> float:
    """Return the distance from line to line, in millimetres."""
    return size * LEADING * POINT_MM


GOES_ON = 1.4 * leading(SMALL)  # for the line that says where a text goes on


@dataclass(frozen=True)
class Run:
    """
    Lines of one block on one card.

    Attributes
    ----------
    block : Block
    heading, heading_style : str
    lines : tuple of Line
    style : str
    """

    block: Block
    heading: str
    heading_style: str
    lines: tuple[Line, ...]
    style: str


@dataclass(frozen=True)
class Part:
    """
    What stands in the body of one of the cards that a term or a divider takes.

    Attributes
    ----------
    size : float
        Of its text, in points.
    runs : tuple of Run
    pinned : Run or None
        The caution, where it stands at the foot of each of the cards.
    number, of : int
        This is card `number` of `of`.
    """

    size: float
    runs: tuple[Run, ...]
    pinned: Run | None
    number: int = 1
    of: int = 1


@dataclass(frozen=True)
class Body:
    """
    The room for the text of a card.

    Attributes
    ----------
    width, height : float
        In millimetres.
    lettering : Lettering
    words : Words
    """

    width: float
    height: float
    lettering: Lettering
    words: Words

    def parts(self, card: Card) -> list[Part]:
        """
        Return what stands on each of the cards that a term or a divider takes.

        One card, in the largest size in which everything fits; else as few as the smallest size
        needs, in the largest size that needs no more.
        """
        for size in SIZES:
            if len(whole := self.poured(card, size, self.height)) == 1:
                return whole
        split = self.height - GOES_ON
        fewest = len(self.poured(card, SIZES[-1], split))
        tried = (self.poured(card, size, split) for size in SIZES)
        return next(parts for parts in tried if len(parts) <= fewest)

    def poured(self, card: Card, size: float, height: float) -> list[Part]:
        """Return the parts of a card at one size."""
        blocks = list(card.blocks)
        pinned = self.run(card.caution, size) if card.caution else None
        if card.caution and pinned:
            taken = self.taken(pinned, size) + self.gap(pinned.block, size)
            if taken <= PINNED_SHARE * height:
                height -= taken
            else:
                pinned = None
                blocks.insert(0, card.caution)  # so long that it is read first
        sets = self.filled([self.run(block, size) for block in blocks], size, height)
        return [
            Part(size, tuple(runs), pinned, number, len(sets))
            for number, runs in enumerate(sets, start=1)
        ]

    def filled(self, runs: Sequence[Run], size: float, height: float) -> list[list[Run]]:
        """Return runs as they fall on cards of a height, taken apart where one ends."""
        cards: list[list[Run]] = [[]]
        left = height
        for whole in runs:
            rest: Run | None = whole
            while rest:
                gap = self.gap(rest.block, size) if cards[-1] else 0.0
                fitting = self.fitting(rest, size, left - gap)
                if not fitting and cards[-1]:
                    cards.append([])
                    left = height
                    continue
                head, rest = self.cut(rest, max(fitting, 1))
                cards[-1].append(head)
                left -= gap + self.taken(head, size)
        return cards

    def fitting(self, run: Run, size: float, left: float) -> int:
        """Return how many lines of a run may stand in what is left; 0 if it is to go on later."""
        fixed = self.taken(replace(run, lines=()), size)
        lines = int((left - fixed) / self.line_height(run, size) + 1e-9)
        total = len(run.lines)
        if lines >= total:
            return total
        lines = min(lines, total - FEWEST_LINES)
        return lines if lines >= FEWEST_LINES else 0

    def cut(self, run: Run, lines: int) -> tuple[Run, Run | None]:
        """Return the first lines of a run, and the rest of it under a heading that says so."""
        if lines >= len(run.lines):
            return run, None
        heading = self.words.fill("cards.continued", heading=run.block.heading)
        style = self.lettering.style_of(heading, "strong")
        rest = replace(run, lines=run.lines[lines:], heading=heading, heading_style=style)
        return replace(run, lines=run.lines[:lines]), rest

    def run(self, block: Block, size: float) -> Run:
        """Return a block broken into lines."""
        heading = "" if block.kind == "definition" else block.heading
        style = self.lettering.style_of(block.text, "plain")
        lines = broken(
            block.text,
            self.width - 2 * indent(block, size),
            lambda text: self.lettering.width(text, style, size),
        )
        heading_style = self.lettering.style_of(heading, "strong")
        return Run(block, heading, heading_style, tuple(lines or [Line("")]), style)

    def gap(self, block: Block, size: float) -> float:
        """Return the room before a block."""
        return GAPS.get(block.kind, GAP) * leading(size)

    def line_height(self, run: Run, size: float) -> float:
        """Return the room that one line of a run takes."""
        if run.block.kind == "sample":
            return SAMPLE
        return leading(size) * (DOSE_LINES if run.block.kind == "dose" else 1.0)

    def taken(self, run: Run, size: float) -> float:
        """Return the room that a run takes."""
        heading = (
            leading(heading_size(run.block)) if run.heading and run.block.kind != "dose" else 0.0
        )
        frame = 2 * PADDING if run.block.kind == "caution" else 0.0
        return heading + frame + len(run.lines) * self.line_height(run, size)


def heading_size(block: Block) -> float:
    """Return the size of a block's heading, in points."""
    return LOUD if block.loud else HEADING


def indent(block: Block, size: float) -> float:
    """Return how far the text of a block stands in from both sides."""
    if block.kind == "caution":
        return PADDING + 0.6
    return CELL * leading(size) if block.kind == "subclass" else 0.0
