"""The fixed sentences of the cards, by key; one function looks them up."""

ENGLISH = {
    "title": "Cards for the tasting table",
    "general": "Declare allergens first. Taste only what is food grade; what is smell-only is "
    "never tasted. Do not swallow unless told to. Local rules and licensed practice come first.",
    "of_the_study": "In this study:",
    "edition": "{title} \u00b7 edition {edition}",
    "number": "{number} / {total}",
    "part": "{part} of {parts}",
    "continues": "Continues on card {part} of {parts}.",
    "continued": "{heading}, continued",
    "definition": "Definition",
    "no_definition": "No definition yet.",
    "reference": "Reference",
    "no_reference": "No reference yet.",
    "dose": "Dose",
    "to_fill_in": "to be filled in",
    "caution": "Caution",
    "not_assessed": "NOT ASSESSED",
    "ask": "Nobody has said that this is safe. Ask before anybody smells or tastes it.",
    "colour": "Colour",
    "doubtful": "Doubtful",
    "doubtful_means": "the data place it here, but not safely",
    "undecided": "Undecided",
    "undecided_means": "the committee has to settle its place",
    "moved": "Moved",
    "moved_means": "by the committee, beside {beside}",
    "moved_alone": "by the committee",
    "gives_name": "Names its group",
    "gives_name_means": "and is not on the outer ring",
    "class": "Class",
    "subclasses": "Subclasses",
    "term_one": "1 term",
    "term_many": "{count} terms",
    "proposal": "{name} (proposed name)",
    "classes": "Classes",
    "print_hint": "Print at A6 (105 x 148 mm), one card a sheet.",
}


def said(key: str, language: str = "en", **values: object) -> str:
    """
    Return a fixed sentence of the cards.

    Parameters
    ----------
    key : str
    language : str
        Tag of the language; English is the only one so far.
    **values : object
        What the sentence has places for.
    """
    return ENGLISH[key].format(**values)


def terms_said(count: int, language: str = "en") -> str:
    """Return a number of terms in words."""
    return said("term_one" if count == 1 else "term_many", language, count=count)
