"""What one person is asked: the cards in their order, and every word that stands beside them."""

from dataclasses import dataclass

from felloe.collecting.identity import Identity


@dataclass(frozen=True)
class Card:
    """
    One term as a person sees it, in their language.

    Attributes
    ----------
    term : str
        Id.
    label : str
    definition : str
        Empty if there is none, or if none is to be shown.
    """

    term: str
    label: str
    definition: str = ""


@dataclass(frozen=True)
class Consent:
    """
    What a person is told before anything else, in their language; see `config/README.md`.

    Attributes
    ----------
    given : bool
        False if the study says that it has no consent text; then all texts are empty.
    purpose, stored, withdraw, contact, text : str
        Plain text, paragraphs apart by an empty line.
    minutes : bool
        Whether the text says that the time taken is kept.
    """

    given: bool
    purpose: str = ""
    stored: str = ""
    withdraw: str = ""
    contact: str = ""
    text: str = ""
    minutes: bool = False


@dataclass(frozen=True)
class Asked:
    """
    One person's task.

    Attributes
    ----------
    identity : Identity
    language : str
        Tag (RFC 5646) of the words below.
    title, instruction : str
        Of the study; the instruction word for word.
    consent : Consent
    cards : tuple of Card
        In the order in which this person sees them.
    """

    identity: Identity
    language: str
    title: str
    instruction: str
    consent: Consent
    cards: tuple[Card, ...]
