"""What stands on the cards: taken from a chart, in its order, every text ready to be set."""

from collections.abc import Mapping
from dataclasses import dataclass

from felloe.report.cards.card_words import smelt_only
from felloe.report.cards.lettering import tidied
from felloe.report.chart import Record, chart_terms
from felloe.report.languages.language_words import Words, interface_words
from felloe.report.languages.own_texts import OwnTexts, own_texts
from felloe.report.mark_words import marks_in_short, marks_told


@dataclass(frozen=True)
class Card:
    """
    One card: of a term, or a divider before the terms of a class.

    Attributes
    ----------
    id, title : str
    language, named : str
        Of the name in the title, where it is not that of the cards; that name.
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
    language: str = ""
    named: str = ""


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
    language, foreign : str
        Of what the study says in the text, where it is not that of the cards; that part.
    """

    kind: str
    heading: str
    text: str
    given: bool = True
    colour: str = ""
    outline: str = ""
    loud: bool = False
    language: str = ""
    foreign: str = ""


@dataclass(frozen=True)
class Suit:
    """
    A class and its cards.

    Attributes
    ----------
    id, name, language, colour, outline : str
        The language is that of the name, where it is not that of the cards.
    divider : Card
    cards : tuple of (str, Card)
        Of the terms, each with the name of its subclass.
    languages : mapping of str to str
        Of the subclasses' names, where they are not that of the cards.
    """

    id: str
    name: str
    colour: str
    outline: str
    divider: Card
    cards: tuple[tuple[str, Card], ...]
    language: str
    languages: Mapping[str, str]


@dataclass(frozen=True)
class Deck:
    """
    All cards of a study in one language.

    Attributes
    ----------
    words : Words
        Of the language of the cards.
    title, own_language : str
        Of the study, and its language where it is not that of the cards.
    imprint : str
        Title and edition of the study: the line that stands on every card.
    cautions : str
        Cautions of the study, which stand on every card beside those of any tasting.
    marks : tuple of str
        What the chart has to say before anybody uses it.
    suits : tuple of Suit
    total : int
        Number of terms.
    """

    words: Words
    title: str
    own_language: str
    imprint: str
    cautions: str
    marks: tuple[str, ...]
    suits: tuple[Suit, ...]
    total: int

    @property
    def language(self) -> str:
        """Tag of the language of the cards."""
        return self.words.asked

    @property
    def own(self) -> str:
        """The cautions of the study as they are told, "" where it has none."""
        return f"{self.words['cards.of_the_study']} {self.cautions}" if self.cautions else ""

    @property
    def general(self) -> str:
        """The cautions of any tasting, which stand on every card."""
        return self.words["cards.general"]


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
    words = interface_words(chart["language"])
    title, hub = tidied(chart["title"]), marks_in_short(chart, words)
    imprint = words.fill("cards.edition", title=title, edition=chart["edition"])
    labels = {term["id"]: tidied(term["label"]) for _, _, term in chart_terms(chart, True)}
    numbers = {term: number for number, term in enumerate(labels, start=1)}
    own = own_texts(chart)
    dealer = Dealer(words, labels, numbers, own)
    return Deck(
        words=words,
        title=title,
        own_language=own.language,
        imprint=f"{imprint} \u00b7 {hub}" if hub else imprint,
        cautions=" ".join(tidied(text) for text in study.get("cautions", ())),
        marks=tuple(marks_told(chart, words)),
        suits=tuple(dealer.suit(each) for each in chart["classes"]),
        total=len(labels),
    )


def terms_of(subclass: Record) -> list[Record]:
    """Return the terms of a subclass; the one that gave it the name comes last."""
    return [*subclass["terms"], *subclass["absorbed"]]


def own_name(subclass: Record, class_name: str) -> str:
    """Return the name of a subclass, "" where it says no more than its class."""
    name = tidied(subclass["name"])
    return "" if name == class_name else name


@dataclass(frozen=True)
class Dealer:
    """
    Makes the cards of a chart.

    Attributes
    ----------
    words : Words
    labels : mapping of str to str
        Of terms, by their ids, as they are set.
    numbers : mapping of str to int
        Of terms, by their ids, counted through the deck.
    own : OwnTexts
        What is in the study's own language.
    """

    words: Words
    labels: Mapping[str, str]
    numbers: Mapping[str, int]
    own: OwnTexts

    def said(self, key: str, **values: object) -> str:
        """Return a fixed sentence of the cards."""
        return self.words.fill(f"cards.{key}", **values)

    def suit(self, class_: Record) -> Suit:
        """Return the cards of a class."""
        name = tidied(class_["name"])
        colour, outline = class_["colour"]["used"], class_["colour"]["outline"]
        count = sum(len(terms_of(subclass)) for subclass in class_["subclasses"])
        blocks = [Block("note", "", self.words.counted("cards.term", count))]
        blocks += [self.subclass(each) for each in class_["subclasses"]]
        language = self.own.of("class", class_["id"])
        divider = Card(
            f"class-{class_['id']}", self.group_name(class_), True, 0, colour, tuple(blocks),
            language=language, named=name,
        )  # fmt: skip
        cards = [
            (own_name(subclass, name), self.term(term))
            for subclass in class_["subclasses"]
            for term in terms_of(subclass)
        ]
        languages = {
            tidied(each["name"]): self.own.of("subclass", each["id"])
            for each in class_["subclasses"]
        }
        return Suit(class_["id"], name, colour, outline, divider, tuple(cards), language, languages)

    def group_name(self, group: Record) -> str:
        """Return the name of a class or subclass; of a proposal it is said that it is one."""
        name = tidied(group["name"])
        return self.said("proposal", name=name) if group["name_is_proposal"] else name

    def subclass(self, subclass: Record) -> Block:
        """Return the line of a subclass on the divider of its class."""
        colour = subclass["colour"]
        count = self.words.counted("cards.term", len(terms_of(subclass)))
        text = f"{self.group_name(subclass)} \u00b7 {count}"
        return Block(
            "subclass", "", text, colour=colour["used"], outline=colour["outline"],
            language=self.own.of("subclass", subclass["id"]), foreign=tidied(subclass["name"]),
        )  # fmt: skip

    def term(self, term: Record) -> Card:
        """Return the card of a term."""
        blocks = [self.told(term, "definition"), self.told(term, "reference")]
        blocks.append(Block("dose", self.said("dose"), "", given=False))
        blocks.append(Block("sample", "", "", given=False))
        colour, no_colour = self.picked_colour(term)
        marks = [] if term["status"] == "firm" else [term["status"]]
        marks += ["gives_name"] if term["start_deg"] is None else []
        return Card(
            id=f"term-{term['id']}",
            title=self.labels[term["id"]],
            divider=False,
            number=self.numbers[term["id"]],
            colour=colour,
            blocks=tuple(blocks),
            no_colour=no_colour,
            caution=self.caution(term),
            status=" \u00b7 ".join(self.said(mark) for mark in marks),
            status_means="; ".join(self.meaning(mark, term) for mark in marks),
            language=self.own.of("term", term["id"]),
            named=self.labels[term["id"]],
        )

    def picked_colour(self, term: Record) -> tuple[str, str]:
        """Return the colour that people picked for a term, or "" and why there is none."""
        colour = term["colour"]
        if colour["reason"] == "tint_few":
            return "", self.said("no_colour_told")
        if colour["picked"] is None:
            return "", self.said("no_colour_picked")
        if colour["reason"] == "tint_two_groups":
            return "", self.said("no_colour_agreed")
        return colour["picked"], ""

    def told(self, term: Record, kind: str) -> Block:
        """Return a block with what the study says, or that it says nothing."""
        text, language = tidied(term[kind]), self.own.of("term", term["id"], kind)
        told = text or self.said(f"no_{kind}")
        return Block(kind, self.said(kind), told, bool(text), language=language)

    def caution(self, term: Record) -> Block:
        """Return the caution of a term; one that was never given is no "none"."""
        text = tidied(term["caution"])
        loud = smelt_only(text) or smelt_only(tidied(term["reference"]))
        marks = [] if text else [self.said("not_assessed")]
        marks += [self.said("smell_only")] if loud else []
        heading = ": ".join([self.said("caution"), *([" \u00b7 ".join(marks)] if marks else [])])
        return Block(
            "caution", heading, text or self.said("ask"), given=bool(text), loud=loud,
            language=self.own.of("term", term["id"], "caution"),
        )  # fmt: skip

    def meaning(self, mark: str, term: Record) -> str:
        """Return what a mark of a term says."""
        if mark != "moved":
            return self.said(f"{mark}_means")
        decision = term["decision"]
        beside = decision and self.labels.get(decision["beside"])
        return self.said("moved_means", beside=beside) if beside else self.said("moved_alone")
