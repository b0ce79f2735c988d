"""The cards as one page: a grid on the screen, a card a sheet in print, no script, no network."""

from pathlib import Path
from typing import Any

from felloe.report.cards.deck import Deck
from felloe.report.cards.embedding import font_faces
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.pouring import SIZES, Part, Run
from felloe.report.cards.setting import CLASS_NAMES, LABELS, Laid, Setter
from felloe.report.filling import content_hash, fill, tagged
from felloe.report.typeface.breaking import joined

HERE = Path(__file__).parent
TEMPLATE = "report/cards/cards.html.j2"
READS = ("report/cards/cards.*",)


def cards_page(deck: Deck, lettering: Lettering, wheel: str = "") -> str:
    """
    Write the page.

    Parameters
    ----------
    deck : Deck
    lettering : Lettering
    wheel : str
        File of the wheel in the same language, beside this page; without one there is no link.

    Returns
    -------
    str
        HTML; whatever text the study holds is shown as text.
    """
    from markupsafe import Markup

    told: dict[str, Any] = {
        "deck": deck,
        "imprint": tagged(deck.imprint, deck.title, deck.own_language),
        "own": tagged(deck.own, deck.cautions, deck.own_language),
        "wheel": wheel,
        "suits": told_suits(Setter(deck, lettering)),
        "say": lambda key, **values: deck.words.fill(f"cards.{key}", **values),
    }
    unstyled = fill(TEMPLATE, **told, style="", style_hash="")
    style = font_faces(lettering, unstyled) + size_rules()
    style += (HERE / "cards.css").read_text(encoding="utf-8")
    return fill(TEMPLATE, **told, style=Markup(style), style_hash=Markup(content_hash(style)))


def size_rules() -> str:
    """Return a style rule for every size that a text may have."""
    sizes = sorted({*SIZES, *LABELS, *CLASS_NAMES})
    return "".join(f".{size_class(size)} {{ font-size: {size:g}pt; }}\n" for size in sizes)


def size_class(size: float) -> str:
    """Return the name of the style of a size."""
    return f"s{round(10 * size)}"


def told_suits(setter: Setter) -> list[dict[str, Any]]:
    """Return the classes with their sheets, as the template reads them."""
    suits: list[dict[str, Any]] = []
    for laid in setter.laid:
        if laid.card.divider:
            suits.append({"suit": laid.suit, "divider": laid.card, "sheets": []})
        suits[-1]["sheets"] += [told_sheet(setter, laid, part) for part in laid.parts]
    return suits


def told_sheet(setter: Setter, laid: Laid, part: Part) -> dict[str, Any]:
    """Return one sheet as the template reads it."""
    card = laid.card
    return {
        "card": card,
        "title": tagged(card.title, card.named, card.language),
        "subclass": laid.subclass,
        "part": part,
        "id": card.id if part.number == 1 else f"{card.id}.{part.number}",
        "title_class": size_class(setter.title_size(card)),
        "text_class": size_class(part.size),
        "runs": [told_run(run) for run in part.runs],
        "caution": told_run(part.pinned) if part.pinned else None,
    }


def told_run(run: Run) -> dict[str, Any]:
    """Return the lines of one block as the template reads them."""
    text, block = joined(list(run.lines)), run.block
    told = tagged(text, block.foreign or text, block.language)
    return {"block": block, "heading": run.heading, "text": told}
