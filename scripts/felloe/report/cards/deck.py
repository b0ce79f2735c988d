"""What stands on the cards: taken from a chart, in its order, every text ready to be set."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from felloe.report.cards.card_words import said, smelt_only, terms_said
from felloe.report.cards.lettering import tidied
from felloe.report.chart import Record
from felloe.report.languages.language_words import interface_words
from felloe.report.mark_words import marks_in_short, marks_told


@dataclass(frozen=True)
class Card:
    """
    One card: of a term, or a divider before the terms of a class.

    Attributes
    ----------
    id, title : str
    divider : bool
    number : int
        Of the term, counted through the deck; 0 on a divider.
    colour : str
        Of a class; of a term the one that people picked, empty where there is none.
    blocks : tuple of Block
        What has to be read, in order.
    no_colour : str
        Why a term has none.
    caution : Block or None
        None on a divider.
    status, status_means : str
        What there is to know of the place of the term; empty where it is firm.
    """

    id: str
    title: str
    divider: bool
    number: int
    colour: str
    blocks: tuple["Block", ...]
    no_colour: str = ""
    caution: "Block | None" = None
    status: str = ""
    status_means: str = ""


@dataclass(frozen=True)
class Block:
    """
    A part of a card: a heading and its text.

    Attributes
    ----------
    kind : {"definition", "reference", "dose", "sample", "caution", "subclass", "note"}
    heading, text : str
    given : bool
        Whether the study says it, or the text stands in for it.
    colour, outline : str
        Of the cell before it, on a divider.
    loud : bool
        Whether its heading is larger than that of others.
    """

    kind: str
    heading: str
    text: str
    given: bool = True
    colour: str = ""
    outline: str = ""
    loud: bool = False


@dataclass(frozen=True)
class Suit:
    """A class and its cards: the divider and the terms' cards, each with its subclass."""

    id: str
    name: str
    colour: str
    outline: str
    divider: Card
    cards: tuple[tuple[str, Card], ...]


@dataclass(frozen=True)
class Deck:
    """
    All cards of a study in one language.

    Attributes
    ----------
    language, title, imprint : str
        The title of the study, and the line that stands on every card.
    general, own : str
        Cautions that stand on every card: those of any tasting, those of the study.
    marks : tuple of str
        What the chart has to say before anybody uses it.
    suits : tuple of Suit
    total : int
        Number of terms.
    """

    language: str
    title: str
    imprint: str
    general: str
    own: str
    marks: tuple[str, ...]
    suits: tuple[Suit, ...]
    total: int


def deck_of(chart: Record, study: Record) -> Deck:
    """
    Take what stands on the cards from a chart.

    Parameters
    ----------
    chart : dict
        As in `chart.json`.
    study : dict
        As in `validation/study.json`.
    """
    language = chart.get("language") or "en"
    imprint = said("edition", language, title=tidied(chart["title"]), edition=chart["edition"])
    own = " ".join(tidied(text) for text in chart.get("cautions") or study.get("cautions", ()))
    labels = dict(labels_of(chart))
    numbers = {term: number for number, term in enumerate(labels, start=1)}
    words = interface_words(language)
    hub = marks_in_short(chart, words)
    return Deck(
        language=language,
        title=tidied(chart["title"]),
        imprint=f"{imprint} \u00b7 {hub}" if hub else imprint,
        general=said("general", language),
        own=f"{said('of_the_study', language)} {own}" if own else "",
        marks=tuple(marks_told(chart, words)),
        suits=tuple(suit_of(each, labels, numbers, language) for each in chart["classes"]),
        total=len(labels),
    )


def labels_of(chart: Record) -> Iterator[tuple[str, str]]:
    """Yield the id and the label of every term, in the order of the cards."""
    for class_ in chart["classes"]:
        for subclass in class_["subclasses"]:
            for term in terms_of(subclass):
                yield term["id"], tidied(term["label"])


def terms_of(subclass: Record) -> list[Record]:
    """Return the terms of a subclass; the one that gave it the name comes last."""
    return [*subclass["terms"], *subclass["absorbed"]]


def suit_of(
    class_: Record, labels: Mapping[str, str], numbers: Mapping[str, int], language: str
) -> Suit:
    """Return the cards of a class."""
    name = tidied(class_["name"])
    colour, outline = class_["colour"]["used"], class_["colour"]["outline"]
    count = sum(len(terms_of(subclass)) for subclass in class_["subclasses"])
    blocks = [Block("note", "", terms_said(count, language))]
    blocks += [subclass_block(each, language) for each in class_["subclasses"]]
    title = said("proposal", language, name=name) if class_["name_is_proposal"] else name
    divider = Card(f"class-{class_['id']}", title, True, 0, colour, tuple(blocks))
    cards = [
        (own_name(subclass, name), term_card(term, labels, numbers, language))
        for subclass in class_["subclasses"]
        for term in terms_of(subclass)
    ]
    return Suit(class_["id"], name, colour, outline, divider, tuple(cards))


def own_name(subclass: Record, class_name: str) -> str:
    """Return the name of a subclass, "" where it says no more than its class."""
    name = tidied(subclass["name"])
    return "" if name == class_name else name


def subclass_block(subclass: Record, language: str) -> Block:
    """Return the line of a subclass on the divider of its class."""
    name = tidied(subclass["name"])
    if subclass["name_is_proposal"]:
        name = said("proposal", language, name=name)
    colour = subclass["colour"]
    text = f"{name} \u00b7 {terms_said(len(terms_of(subclass)), language)}"
    return Block("subclass", "", text, colour=colour["used"], outline=colour["outline"])


def term_card(
    term: Record, labels: Mapping[str, str], numbers: Mapping[str, int], language: str
) -> Card:
    """Return the card of a term."""
    blocks = [told(term, "definition", language), told(term, "reference", language)]
    blocks.append(Block("dose", said("dose", language), "", given=False))
    blocks.append(Block("sample", "", "", given=False))
    colour, no_colour = picked_colour(term, language)
    marks = [] if term["status"] == "firm" else [term["status"]]
    marks += ["gives_name"] if term["start_deg"] is None else []
    return Card(
        id=f"term-{term['id']}",
        title=labels[term["id"]],
        divider=False,
        number=numbers[term["id"]],
        colour=colour,
        blocks=tuple(blocks),
        no_colour=no_colour,
        caution=caution_of(term, language),
        status=" \u00b7 ".join(said(mark, language) for mark in marks),
        status_means="; ".join(meaning(mark, term, labels, language) for mark in marks),
    )


def picked_colour(term: Record, language: str) -> tuple[str, str]:
    """Return the colour that people picked for a term, or "" and why there is none."""
    colour = term["colour"]
    if colour["picked"] is None:
        return "", said("no_colour_picked", language)
    if colour["reason"] == "tint_two_groups":
        return "", said("no_colour_agreed", language)
    return colour["picked"], ""


def told(term: Record, kind: str, language: str) -> Block:
    """Return a block with what the study says, or that it says nothing."""
    text = tidied(term[kind])
    return Block(kind, said(kind, language), text or said(f"no_{kind}", language), bool(text))


def caution_of(term: Record, language: str) -> Block:
    """Return the caution of a term; one that was never given is no "none"."""
    text = tidied(term["caution"])
    loud = smelt_only(text) or smelt_only(tidied(term["reference"]))
    marks = [] if text else [said("not_assessed", language)]
    marks += [said("smell_only", language)] if loud else []
    heading = ": ".join([said("caution", language), *([" \u00b7 ".join(marks)] if marks else [])])
    return Block("caution", heading, text or said("ask", language), given=bool(text), loud=loud)


def meaning(mark: str, term: Record, labels: Mapping[str, str], language: str) -> str:
    """Return what a mark of a term says."""
    if mark != "moved":
        return said(f"{mark}_means", language)
    decision = term["decision"]
    beside = decision and labels.get(decision["beside"])
    return said("moved_means", language, beside=beside) if beside else said("moved_alone", language)
