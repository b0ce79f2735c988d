"""The paper set of one person: what is asked, cards to cut out, the tally sheet."""

from collections.abc import Iterator, Sequence

from felloe.collecting.asked import Asked, Card
from felloe.collecting.identity import CODE_LENGTH
from felloe.collecting.paper.flowing import (
    BOTTOM,
    INNER,
    MARGIN,
    WIDTH,
    Paragraph,
    Typeset,
    framed,
)
from felloe.ground.drawing import MUTED, RULE
from felloe.report.cards.pieces import Box, CardPiece, CardSheet, Stroke
from felloe.report.cards.pouring import leading
from felloe.report.languages.language_words import Words, interface_words

ACROSS, DOWN = 3, 8  # cards of a page
EDGE = 8.0  # around the cards: most printers reach that far
CARD_HEIGHT = 33.0
INSIDE = 3.0  # within a card
SIZES = (18.0, 16.0, 14.0, 12.0, 11.0, 10.0, 9.0, 8.0)  # points, of the word on a card
WORD_LINES = 3
NUMBER, CODE = 9.0, 6.5
TITLE, STRESSED, TEXT, HEADING = 17.0, 13.0, 10.5, 9.0
BLOCKS = 3  # columns of the tally sheet
TALLIED = TEXT - 1.5  # points; of a word on the tally sheet
ROW = 6.3  # of the tally sheet, mm
BETWEEN = 5.0  # its columns
NUMBER_ROOM, PILE_ROOM = 8.0, 14.0
PILE_ROW = 10.0  # to write a pile's words in
CONSENT = ("purpose", "stored", "withdraw", "contact")
HOW = ("cut", "how_pile", "how_unknown", "how_tally", "how_words", "how_back")


def paper_sheets(asked: Asked, typeset: Typeset) -> list[CardSheet]:
    """
    Return the pages of one person's paper set, in order.

    Parameters
    ----------
    asked : Asked
    typeset : Typeset
    """
    words = interface_words(asked.language)
    title = words.fill("kit.paper.title", title=asked.title)
    pages = [(title, page) for page in typeset.flowed(told(asked, title, words))]
    pages += [(title, page) for page in card_pages(asked, typeset)]
    if meanings := definitions(asked, words):
        pages += [(meanings[0].text, page) for page in typeset.flowed(meanings)]
    tally = words["kit.paper.tally"]
    pages += [(tally, page) for page in tally_pages(asked, typeset, words)]
    pages.append((tally, list(pile_page(asked, typeset, words))))
    marked = [
        (name if place == 0 or pages[place - 1][0] != name else "", pieces)
        for place, (name, pieces) in enumerate(pages)
    ]
    whose = {"study": asked.identity.study, "participant": asked.identity.participant}
    feet = [
        words.fill("kit.paper.page", **whose, page=number, pages=len(pages))
        for number in range(1, len(pages) + 1)
    ]
    return list(framed(typeset, marked, feet))


def told(asked: Asked, title: str, words: Words) -> list[Paragraph]:
    """Return what a person reads first."""
    found = [
        Paragraph(title, TITLE, "strong"),
        Paragraph(asked.instruction, STRESSED, "strong", 0.8),
    ]
    if asked.consent.given:
        for name in CONSENT:
            found.append(Paragraph(words[f"kit.{name}"], HEADING, "strong", 0.9, MUTED, True))
            found += split(getattr(asked.consent, name))
        if asked.consent.text:
            found.append(Paragraph(words["kit.rest"], HEADING, "strong", 0.9, MUTED, True))
            found += split(asked.consent.text)
    steps = [words[f"kit.paper.{name}"] for name in HOW]
    found += [
        Paragraph(f"{number}. {text}", TEXT, "plain", 1.2 if number == 1 else 0.25)
        for number, text in enumerate(steps, 1)
    ]
    whose = {"participant": asked.identity.participant}
    cautions = [words.fill("kit.paper.no_name", **whose)]
    cautions += [words[f"kit.{name}"] for name in ("not_secret", "unique")]
    return found + [
        Paragraph(text, HEADING, "plain", 1.2 if at == 0 else 0.25)
        for at, text in enumerate(cautions)
    ]


def split(text: str) -> list[Paragraph]:
    """Return the paragraphs of a text."""
    parts = [part for part in text.split("\n\n") if part.strip()]
    return [Paragraph(part, TEXT, "plain", 0.4 if at else 0.0) for at, part in enumerate(parts)]


def definitions(asked: Asked, words: Words) -> list[Paragraph]:
    """Return what the words mean, in the order of the cards; nothing where none is shown."""
    given = [(number, card) for number, card in enumerate(asked.cards, 1) if card.definition]
    if not given:
        return []
    return [Paragraph(words["kit.paper.definitions"], STRESSED, "strong")] + [
        Paragraph(f"{number}  {card.label}: {card.definition}", TEXT, "plain", 0.35)
        for number, card in given
    ]


def card_pages(asked: Asked, typeset: Typeset) -> Iterator[list[CardPiece]]:
    """Yield the pages of cards, in the order in which the person sees them."""
    room = (WIDTH - 2 * EDGE) / ACROSS
    whose = f"{asked.identity.study} {asked.identity.participant}"
    for start in range(0, len(asked.cards), ACROSS * DOWN):
        pieces: list[CardPiece] = []
        for place, card in enumerate(asked.cards[start : start + ACROSS * DOWN]):
            x = EDGE + room * (place % ACROSS)
            y = EDGE + CARD_HEIGHT * (place // ACROSS)
            pieces += one_card(card, start + place + 1, whose, (x, y, room), typeset)
        yield pieces


def one_card(
    card: Card, number: int, whose: str, place: tuple[float, float, float], typeset: Typeset
) -> Iterator[CardPiece]:
    """Yield a card: its frame to cut along, its number, whose it is, and the word."""
    x, y, room = place
    inner = room - 2 * INSIDE
    yield Box(x, y, room, CARD_HEIGHT, frame=RULE)
    yield typeset.at(x + INSIDE, y + INSIDE - 1, str(number), "strong", NUMBER)
    code = typeset.cut(whose, "plain", CODE, inner - 14)
    at = x + room - INSIDE - typeset.width(code, "plain", CODE)
    yield typeset.at(at, y + INSIDE - 0.5, code, "plain", CODE, MUTED)
    top, bottom = y + INSIDE + leading(NUMBER), y + CARD_HEIGHT - INSIDE
    size, lines = fitted(card.label, inner, bottom - top, typeset)
    first = top + max((bottom - top - len(lines) * leading(size)) / 2 - 1.0, 0.0)
    for at_line, text in enumerate(lines):
        y_line = first + at_line * leading(size)
        yield typeset.centred(x + room / 2, y_line, text, "strong", size)


def fitted(text: str, room: float, height: float, typeset: Typeset) -> tuple[float, list[str]]:
    """Return a word in the largest size in which it fits its card, and no word of it is cut."""
    for size in SIZES:
        lines = typeset.lines(text, "strong", size, room)
        most = WORD_LINES if size > SIZES[-1] else int(height / leading(size))
        fits = len(lines) <= most and len(lines) * leading(size) <= height
        if fits and (all(line.joint for line in lines) or size == SIZES[-1]):
            break
    room_for = max(1, int(height / leading(size)))
    texts = [line.text for line in lines]
    if len(texts) > room_for:  # longer than any card; the number says which it is
        last = typeset.cut(f"{texts[room_for - 1]}…", "strong", size, room)
        texts = [*texts[: room_for - 1], last]
    return size, texts


def tally_pages(asked: Asked, typeset: Typeset, words: Words) -> Iterator[list[CardPiece]]:
    """Yield the pages on which the pile of every card is noted."""
    top = MARGIN + tally_head_height() + 4.0
    rows = int((BOTTOM - top) / ROW) - 1
    blocks = tally_blocks([card.label for card in asked.cards], rows, typeset)
    block = block_width(blocks)
    for start in range(0, len(asked.cards), rows * blocks):
        pieces = list(tally_head(asked, typeset, words))
        here = asked.cards[start : start + rows * blocks]
        # as few rows as there must be, so that a short page is even
        high = -(-len(here) // blocks) if len(here) < rows * blocks else rows
        for at in range(0, len(here), high):
            x = MARGIN + (at // high) * (block + BETWEEN)
            numbered = list(enumerate(here[at : at + high], start + at + 1))
            pieces += tally_block(numbered, (x, top, block), typeset, words)
        yield pieces


def tally_blocks(labels: Sequence[str], rows: int, typeset: Typeset) -> int:
    """Return the columns of a tally sheet: fewer where words are long and all fit on one page."""
    widest = max((typeset.width(label, "plain", TALLIED) for label in labels), default=0.0)
    fitting = (
        count
        for count in range(BLOCKS, 0, -1)
        if len(labels) <= rows * count and widest <= word_room(block_width(count))
    )
    return next(fitting, BLOCKS)


def block_width(blocks: int) -> float:
    """Return how wide each of some columns is."""
    return (INNER - (blocks - 1) * BETWEEN) / blocks


def word_room(block: float) -> float:
    """Return the room that a word has in a column."""
    return block - NUMBER_ROOM - PILE_ROOM - 4


def tally_head_height() -> float:
    """Return the room that the head of a tally sheet takes."""
    return leading(TITLE) + 2 * leading(STRESSED)


def tally_head(asked: Asked, typeset: Typeset, words: Words) -> Iterator[CardPiece]:
    """Yield what a tally sheet says above its rows: whose it is, and what it belongs to."""
    identity = asked.identity
    yield typeset.at(MARGIN, MARGIN, words["kit.paper.tally"], "strong", TITLE)
    at = MARGIN + leading(TITLE) + 1.5
    x = MARGIN
    for name, value in (
        ("study", identity.study),
        ("participant", identity.participant),
        ("terms", identity.terms[:CODE_LENGTH]),
    ):
        heading = f"{words[f'kit.paper.{name}']}: "
        yield typeset.at(x, at, heading, "plain", TEXT, MUTED)
        x += typeset.width(heading, "plain", TEXT)
        shown = typeset.cut(value, "strong", TEXT, 52)
        yield typeset.at(x, at, shown, "strong", TEXT)
        x += typeset.width(shown, "strong", TEXT) + 6
    yield from blanks(asked, typeset, words, at + leading(STRESSED))


def blanks(asked: Asked, typeset: Typeset, words: Words, at: float) -> Iterator[CardPiece]:
    """Yield the lines to write the day on, and the minutes if the consent text says so."""
    x = MARGIN
    for name in ("day", *(["minutes"] if asked.consent.minutes else [])):
        heading = f"{words[f'kit.paper.{name}']}: "
        yield typeset.at(x, at, heading, "plain", TEXT, MUTED)
        x += typeset.width(heading, "plain", TEXT)
        yield Stroke(x, at + leading(TEXT) - 0.8, 34, MUTED)
        x += 42


def tally_block(
    cards: Sequence[tuple[int, Card]],
    place: tuple[float, float, float],
    typeset: Typeset,
    words: Words,
) -> Iterator[CardPiece]:
    """Yield one column of a tally sheet."""
    x, top, room = place
    heads = ((x, "card"), (x + NUMBER_ROOM + 2, "word"), (x + room - PILE_ROOM, "pile"))
    for left, name in heads:
        yield typeset.at(left, top + 1.2, words[f"kit.paper.{name}"], "strong", CODE + 1, MUTED)
    for row, (number, card) in enumerate(cards, 1):
        y = top + row * ROW
        size = TALLIED
        text = y + (ROW - leading(size)) / 2
        right = x + NUMBER_ROOM - typeset.width(str(number), "strong", size)
        yield typeset.at(right, text, str(number), "strong", size)
        fits = (
            each
            for each in (size, size - 1, size - 2)
            if typeset.width(card.label, "plain", each) <= word_room(room)
        )
        small = next(fits, size - 2)
        label = typeset.cut(card.label, "plain", small, word_room(room))
        base = y + (ROW - leading(small)) / 2
        yield typeset.at(x + NUMBER_ROOM + 2, base, label, "plain", small)
        yield Box(x + room - PILE_ROOM, y, PILE_ROOM, ROW, frame=MUTED)
        yield Stroke(x, y + ROW, room - PILE_ROOM, RULE, 0.1)


def pile_page(asked: Asked, typeset: Typeset, words: Words) -> Iterator[CardPiece]:
    """Yield the page on which piles are said in words."""
    yield from tally_head(asked, typeset, words)
    at = MARGIN + tally_head_height() + 6.0
    yield typeset.at(MARGIN, at, words["kit.paper.piles"], "strong", TEXT)
    at += leading(TEXT) + 2
    yield typeset.at(MARGIN, at, words["kit.paper.pile"], "strong", CODE + 1, MUTED)
    heading = words["kit.paper.words"]
    yield typeset.at(MARGIN + PILE_ROOM + 4, at, heading, "strong", CODE + 1, MUTED)
    at += leading(CODE + 1)
    while at + PILE_ROW <= BOTTOM:
        yield Box(MARGIN, at, PILE_ROOM, PILE_ROW, frame=MUTED)
        yield Stroke(MARGIN + PILE_ROOM + 4, at + PILE_ROW, INNER - PILE_ROOM - 4, RULE)
        at += PILE_ROW
