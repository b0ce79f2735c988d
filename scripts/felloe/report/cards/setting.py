"""The cards set as sheets: head, body and foot of each, all in millimetres."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from felloe.ground.drawing import INK, MUTED, POINT_MM, RULE
from felloe.report.cards.deck import Card, Deck, Suit
from felloe.report.cards.lettering import Lettering, right_to_left
from felloe.report.cards.pieces import ASCENT, DESCENT, Box, CardPiece, CardSheet, Stroke, Writing
from felloe.report.cards.pouring import (
    GOES_ON,
    HEADING,
    PADDING,
    SAMPLE,
    SIZES,
    SMALL,
    Body,
    Part,
    Run,
    heading_size,
    indent,
    leading,
)
from felloe.report.typeface.breaking import Line, broken, cut_short

WIDTH, HEIGHT = 105.0, 148.0  # A6 upright
MARGIN = 9.0
INNER = WIDTH - 2 * MARGIN
LABELS = (30.0, 26.0, 23.0, 20.0, 17.5, 15.0, 13.0, 11.0)  # points, of a term
CLASS_NAMES = (32.0, 28.0, 24.0, 20.0, 17.0, 14.0)
LABEL_LINES = 2
PATHS = (9.0, 8.0, 7.0)  # of class and subclass
BAR = (16.0, 2.2)  # the class's colour over its name
SLAB = 26.0  # the same on a divider
CELL = 9.0
FACTS = 24.0  # from the colour to the status
NO_COLOUR = 21.0  # for why there is none
STEP = 1.6  # between the parts of a card
AIR = 2.6  # around colour and status
IMPRINT_LINES = 2
SAMPLE_FIELDS = ("name", "made", "discard")
SAMPLE_AIR = 1.2  # beside what is ruled in the row about the sample
DASH = 5.0  # in place of a colour
Row = tuple[str, str, float, str]  # a short text, its weight, size and tone


@dataclass(frozen=True)
class Stack:
    """Pieces that were set one below the other, and where the last ends."""

    pieces: tuple[CardPiece, ...]
    end: float


@dataclass(frozen=True)
class Laid:
    """A card in its class and subclass, and what stands on each of the sheets that it takes."""

    suit: Suit
    subclass: str
    card: Card
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Setter:
    """
    Sets the cards of a deck.

    Attributes
    ----------
    deck : Deck
    lettering : Lettering
    """

    deck: Deck
    lettering: Lettering

    @cached_property
    def laid(self) -> tuple[Laid, ...]:
        """Every card with the sheets that it takes, in order."""
        return tuple(
            Laid(suit, subclass, card, tuple(self.parts(suit, subclass, card)))
            for suit in self.deck.suits
            for subclass, card in (("", suit.divider), *suit.cards)
        )

    def sheets(self) -> Iterator[CardSheet]:
        """Yield every sheet, in order."""
        for each in self.laid:
            for part in each.parts:
                yield self.sheet(each.suit, each.subclass, each.card, part)

    def title_size(self, card: Card) -> float:
        """Return the size of a card's name."""
        sizes = CLASS_NAMES if card.divider else LABELS
        return self.fitting_size(card.title, "strong", sizes)[0]

    def parts(self, suit: Suit, subclass: str, card: Card) -> list[Part]:
        """Return what stands on each of the sheets that a card takes."""
        blank = Part(SIZES[0], (), None)
        top = self.head(suit, subclass, card, blank).end
        height = self.foot(card).pieces_top - top
        return Body(INNER, height, self.lettering, self.deck.words).parts(card)

    def sheet(self, suit: Suit, subclass: str, card: Card, part: Part) -> CardSheet:
        """Return one sheet."""
        head = self.head(suit, subclass, card, part)
        foot = self.foot(card)
        body = self.body(part, head.end, foot.pieces_top)
        return CardSheet(
            (*head.pieces, *body, *foot.pieces),
            card.title if part.number == 1 else "",
            0 if card.divider else 1,
        )

    def head(self, suit: Suit, subclass: str, card: Card, part: Part) -> Stack:
        """Return what stands over the body: the class, and the name."""
        pieces = list(self.corner(card, part))
        width, height = (INNER, SLAB) if card.divider else BAR
        at = MARGIN + (leading(SMALL) if card.divider else 0)
        pieces.append(Box(MARGIN, at, width, height, suit.colour, suit.outline))
        at += height + STEP
        paths = [(self.deck.words["cards.class"], MUTED)] if card.divider else [(suit.name, INK)]
        paths += [(subclass, MUTED)] if subclass else []
        for text, tone in paths:
            weight = "plain" if tone == MUTED else "strong"
            stack = self.fitted(text, weight, PATHS, at, tone)
            pieces, at = [*pieces, *stack.pieces], stack.end
        sizes = CLASS_NAMES if card.divider else LABELS
        stack = self.fitted(card.title, "strong", sizes, at + STEP / 2, INK)
        rule = stack.end + STEP
        return Stack((*pieces, *stack.pieces, Stroke(MARGIN, rule, INNER, RULE)), rule + STEP)

    def corner(self, card: Card, part: Part) -> Iterator[CardPiece]:
        """Yield the number in the corner, and which of several cards this is."""
        words = self.deck.words
        texts = [card.colour] if card.divider else []
        if card.number:
            texts.append(words.fill("cards.number", number=card.number, total=self.deck.total))
        if part.of > 1:
            texts.append(words.fill("cards.part", part=part.number, parts=part.of))
        text = " \u00b7 ".join(texts)
        base = MARGIN + ASCENT * SMALL * POINT_MM
        style = self.lettering.style_of(text, "plain")
        yield Writing(WIDTH - MARGIN, base, text, style, SMALL, MUTED, True)

    def body(self, part: Part, top: float, bottom: float) -> Iterator[CardPiece]:
        """Yield the text of a card, and at its foot where it goes on."""
        body = Body(INNER, bottom - top, self.lettering, self.deck.words)
        at = top
        for place, run in enumerate(part.runs):
            at += body.gap(run.block, part.size) if place else 0.0
            yield from self.run(run, part.size, at)
            at += body.taken(run, part.size)
        floor = bottom - (GOES_ON if part.of > 1 else 0.0)
        if part.pinned:
            yield from self.run(part.pinned, part.size, floor - body.taken(part.pinned, part.size))
        if part.number < part.of:
            text = self.deck.words.fill("cards.continues", part=part.number + 1, parts=part.of)
            at = bottom - leading(SMALL)
            yield from self.stacked([Line(text)], text, "strong", SMALL, at, INK).pieces

    def run(self, run: Run, size: float, at: float) -> Iterator[CardPiece]:
        """Yield the pieces of one block."""
        kind = run.block.kind
        if kind == "dose":
            yield from self.dose(run, size, at)
            return
        if kind == "sample":
            yield from self.sample(at)
            return
        if kind == "caution":
            body = Body(INNER, 0.0, self.lettering, self.deck.words)
            dashed = not run.block.given
            yield Box(MARGIN, at, INNER, body.taken(run, size), frame=INK, dashed=dashed)
            at += PADDING
        if kind == "subclass":
            cell = size * POINT_MM * 0.8
            drop = (leading(size) - cell) / 2
            yield Box(MARGIN, at + drop, cell, cell, run.block.colour, run.block.outline)
        inset = indent(run.block, size)
        if run.heading:
            points = heading_size(run.block)
            base = at + ASCENT * points * POINT_MM
            tone = INK if kind == "caution" else MUTED
            yield Writing(MARGIN + inset, base, run.heading, run.heading_style, points, tone)
            at += leading(points)
        tone = INK if run.block.given or kind == "caution" else MUTED
        yield from self.lines(run.lines, run.block.text, run.style, size, at, tone, inset)

    def dose(self, run: Run, size: float, at: float) -> Iterator[CardPiece]:
        """Yield the line on which the dose is filled in."""
        base = at + leading(size) + ASCENT * size * POINT_MM * 0.4
        yield Writing(MARGIN, base, f"{run.heading}:", run.heading_style, HEADING, MUTED)
        shift = self.lettering.width(f"{run.heading}: ", run.heading_style, HEADING)
        yield Stroke(MARGIN + shift + 1, base, INNER - shift - 1, MUTED)

    def sample(self, at: float) -> Iterator[CardPiece]:
        """Yield the row in which it is filled in what stands on the table, and how long."""
        base = at + SAMPLE - DESCENT * HEADING * POINT_MM
        labels = [self.deck.words[f"cards.sample_{field}"] for field in SAMPLE_FIELDS]
        styles = [self.lettering.style_of(label, "strong") for label in labels]
        widths = [
            self.lettering.width(label, style, HEADING) + 2 * SAMPLE_AIR
            for label, style in zip(labels, styles, strict=True)
        ]
        rule = (INNER + SAMPLE_AIR - sum(widths)) / len(labels)
        x = MARGIN
        for label, style, width in zip(labels, styles, widths, strict=True):
            yield Writing(x, base, label, style, HEADING, MUTED)
            x += width
            yield Stroke(x - SAMPLE_AIR, base, rule, MUTED)
            x += rule

    def foot(self, card: Card) -> "Foot":
        """Return what stands under the body: colour and status, cautions, imprint."""
        texts = [(mark, "strong", INK, 0) for mark in self.deck.marks if card.divider]
        texts += [(self.deck.general, "plain", INK, 0), (self.deck.own, "plain", INK, 0)]
        texts += [(self.deck.imprint, "plain", MUTED, IMPRINT_LINES)]
        told = [(*each, self.small(*each[:2], each[3])) for each in texts if each[0]]
        lines = sum(len(each[-1]) for each in told)
        at = HEIGHT - MARGIN - lines * leading(SMALL)
        pieces: list[CardPiece] = [Stroke(MARGIN, at - STEP / 2, INNER, RULE)]
        top = at - STEP / 2
        for text, weight, tone, _, broken_lines in told:
            stack = self.stacked(broken_lines, text, weight, SMALL, at, tone)
            pieces, at = [*pieces, *stack.pieces], stack.end
        if card.divider:
            return Foot(tuple(pieces), top - STEP)
        facts = self.facts(card)
        height = max(CELL, facts.end)
        moved = tuple(shifted(piece, top - AIR - height) for piece in facts.pieces)
        return Foot((*moved, *pieces), top - 2 * AIR - height)

    def small(self, text: str, weight: str, most: int = 0) -> list[Line]:
        """Return a text of the foot in lines, shortened to the most lines if there is a most."""
        lines = self.lines_of(text, weight, SMALL, INNER)
        if not most or len(lines) <= most:
            return lines
        style = self.lettering.style_of(text, weight)
        last = lines[most - 1].text
        short = cut_short(last, INNER, lambda each: self.lettering.width(each, style, SMALL))
        return [*lines[: most - 1], Line(short)]

    def facts(self, card: Card) -> Stack:
        """Return colour and status of a term, from 0 down."""
        at = MARGIN + CELL + STEP
        colour = self.colour(card)
        pieces: list[CardPiece] = [picked_cell(card), *self.column(colour, at)]
        at += FACTS
        room = WIDTH - MARGIN - at
        means = self.lines_of(card.status_means, "plain", SMALL, room)
        marks = self.lines_of(card.status, "strong", 9.0, room)
        rows = [(line.text, "strong", 9.0, INK) for line in marks]
        rows += [(line.text, "plain", SMALL, INK) for line in means]
        pieces += self.column(rows, at)
        end = max(sum(leading(size) for _, _, size, _ in each) for each in (colour, rows))
        return Stack(tuple(pieces), end)

    def colour(self, card: Card) -> list[Row]:
        """Return what is said of the colour of a term."""
        heading = (self.deck.words["cards.colour"], "plain", SMALL, MUTED)
        if card.colour:
            return [heading, (card.colour, "plain", 9.0, INK)]
        lines = self.lines_of(card.no_colour, "plain", SMALL, NO_COLOUR)
        return [heading, *((line.text, "plain", SMALL, INK) for line in lines)]

    def column(self, rows: Sequence[Row], x: float) -> Iterator[Writing]:
        """Yield short texts below one another, from 0 down."""
        at = 0.0
        for text, weight, size, tone in rows:
            style = self.lettering.style_of(text, weight)
            yield Writing(x, at + ASCENT * size * POINT_MM, text, style, size, tone)
            at += leading(size)

    def fitted(self, text: str, weight: str, sizes: Sequence[float], at: float, tone: str) -> Stack:
        """Return a name in the largest size in which it takes two lines and no word is cut."""
        size, lines = self.fitting_size(text, weight, sizes)
        return self.stacked(lines, text, weight, size, at, tone)

    def fitting_size(
        self, text: str, weight: str, sizes: Sequence[float]
    ) -> tuple[float, list[Line]]:
        """Return the size of a name, and its lines."""
        for size in sizes:
            lines = self.lines_of(text, weight, size, INNER)
            if len(lines) <= LABEL_LINES and all(line.joint for line in lines):
                break
        return size, lines

    def lines_of(self, text: str, weight: str, size: float, room: float) -> list[Line]:
        """Return a text broken into lines."""
        style = self.lettering.style_of(text, weight)
        return broken(text, room, lambda each: self.lettering.width(each, style, size))

    def stacked(
        self, lines: Sequence[Line], text: str, weight: str, size: float, at: float, tone: str
    ) -> Stack:
        """Return lines of a text below one another."""
        style = self.lettering.style_of(text, weight)
        pieces = tuple(self.lines(lines, text, style, size, at, tone))
        return Stack(pieces, at + len(lines) * leading(size))

    def lines(
        self,
        lines: Sequence[Line],
        text: str,
        style: str,
        size: float,
        at: float,
        tone: str,
        inset: float = 0.0,
    ) -> Iterator[Writing]:
        """Yield lines of a text; one that starts with a script to the left stands at the right."""
        to_the_left = right_to_left(text)
        x = WIDTH - MARGIN - inset if to_the_left else MARGIN + inset
        for place, line in enumerate(lines):
            base = at + place * leading(size) + ASCENT * size * POINT_MM
            if line.text:
                yield Writing(x, base, line.text, style, size, tone, to_the_left, to_the_left)


@dataclass(frozen=True)
class Foot:
    """The pieces of a foot, and where the body has to end."""

    pieces: tuple[CardPiece, ...]
    pieces_top: float


def picked_cell(card: Card) -> CardPiece:
    """Return the colour that people picked for a term, or a dash."""
    if card.colour:
        return Box(MARGIN, 0.0, CELL, CELL, card.colour, INK)
    return Stroke(MARGIN + (CELL - DASH) / 2, CELL / 2, DASH, MUTED, 0.5)


def shifted(piece: CardPiece, down: float) -> CardPiece:
    """Return a piece moved down."""
    return replace(piece, y=piece.y + down)
