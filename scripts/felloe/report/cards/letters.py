"""Letters that no font has stop what is printed before anything is drawn."""

from collections.abc import Iterable, Iterator

from felloe.errors import StudyError
from felloe.report.cards.deck import Deck
from felloe.report.cards.lettering import Lettering
from felloe.report.typeface.shaping import code_points

NAMED = 12  # texts that one screen has room for


def check_letters(deck: Deck, lettering: Lettering) -> None:
    """
    Refuse cards with letters that no font has.

    Raises
    ------
    StudyError
        With the cards concerned, their letters, and what to do.
    """
    refuse_letters("The cards cannot be set", texts_of(deck), lettering)


def refuse_letters(so: str, texts: Iterable[tuple[str, str, str]], lettering: Lettering) -> None:
    """
    Refuse texts with letters that no font has.

    Parameters
    ----------
    so : str
        What cannot be made of them.
    texts : iterable of (str, str, str)
        Whose text, the text, and the weight in which it is set.
    lettering : Lettering

    Raises
    ------
    StudyError
        With the owners concerned, their letters, and what to do.
    """
    found: dict[str, set[str]] = {}
    for owner, text, weight in texts:
        if lacking := lettering.lacking(text, weight):
            found.setdefault(owner, set()).update(lacking)
    if found:
        lines = [f"  {owner}: {spelt(letters)}" for owner, letters in found.items()]
        hidden = len(lines) - NAMED
        lines = [*lines[:NAMED], *([f"  ... and {hidden} more."] if hidden > 0 else [])]
        raise StudyError(
            f"{so}: no font at hand has these letters.\n"
            + "\n".join(lines)
            + "\nPut a font file that has them into the study's folder and name it under "
            "`wheel.fonts` in the settings, or write these texts in other letters."
        )


def texts_of(deck: Deck) -> Iterator[tuple[str, str, str]]:
    """Yield whose text, the text, and the weight in which it is set."""
    for text in (deck.imprint, deck.own):
        yield "the study", text, "plain"
    for suit in deck.suits:
        yield f"class {suit.id}", suit.name, "strong"
        for subclass, card in ("", suit.divider), *suit.cards:
            owner = card.id.replace("-", " ", 1)
            yield owner, card.title, "strong"
            yield owner, subclass, "plain"
            yield owner, card.status, "strong"
            yield owner, card.status_means, "plain"
            for block in (*card.blocks, *([card.caution] if card.caution else ())):
                yield owner, block.text, "plain"
                yield owner, block.heading, "strong"


def spelt(letters: set[str]) -> str:
    """Return letters with their numbers, since a screen may not have them either."""
    shown = [f"{letter} ({code_points(letter)})" for letter in sorted(letters)[:NAMED]]
    return ", ".join(shown) + (" ..." if len(letters) > NAMED else "")
