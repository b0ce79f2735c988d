"""What is said of kits to whoever makes them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from felloe.allocation.words import counted, named, span
from felloe.collecting.identity import Kind

AGAIN = "--again"
MAKING = "Making {kits} kits. If this is stopped, the same command goes on.\n"
LINK = "leads elsewhere, or is no folder"
LINK_CURE = "Put a folder in its place, or remove it: kits are written there."
FOREIGN = "is there already, and was not made by this command"
FOREIGN_CURE = "Move it elsewhere: no file of a person is overwritten."
CHANGED = {
    "edition": "the edition is not the one that kits were made for ({people})",
    "terms": "terms.csv is not what kits were made from ({people})",
    "order": "design.csv does not hold what kits were made from ({people})",
    "language": "the language of invitations.csv is not that of the kit ({people})",
    "instruction": "title or instruction are not what kits were made from ({people})",
    "consent": "the consent text is not what kits were made from ({people})",
    "cards": "labels or definitions are not what kits were made from ({people})",
}
NO_ORDER = "does not number the terms 1, 2, 3 and so on for {people}"
NO_ORDER_CURE = (
    "Number them in `position`: paper cards bear these numbers. Or, before anybody sorted, take "
    "these people's lines out: they are then drawn and numbered here."
)
KEPT = {
    "edition": "Put it back in study.yaml, or take a name and a folder of its own for another one.",
    "terms": (
        "Put terms.csv back: what comes back from earlier kits would count for another lexicon. "
        "Or, before anybody sorted, move the folder kit/ away on purpose (where terms came or "
        "went, design.csv too), and type this again: everybody is given another kit."
    ),
    "order": "Put its lines back: the numbers on paper cards are those of the order there.",
}
MENDED = (
    f"Put it back, or add {AGAIN}: these people get new files, the earlier ones are kept in "
    "kit/PARTICIPANT/earlier-1. Send them the new ones; what comes back from either counts."
)
LEFT_OUT_KITS = "no kits are made: it names terms that people were shown and that are left out"
LEFT_OUT_CURE = (
    "Kits that were given stay valid, and gather reads what comes back. For more kits, of the same "
    "terms as the others': put these rows back into terms.csv, move this file away, type this "
    "again, and undo both before you gather."
)
WITHDREW = "withdrew from the study, and nothing of theirs may come back"
WITHDREW_CURE = (
    "Take the line out. If they want to take part after all, give them another code: what is "
    "returned under this one is refused."
)
DEALT = "Put their records back (kit/PARTICIPANT/issued.json): they say which terms were dealt."
SORTED = "{people}, all {terms} terms each, in an order of their own. Orders stand in design.csv."
PART = """\
{people}, {each} of {terms} terms each (design.terms_per_participant), in an order of their own.
Terms and orders stand in design.csv."""
TOO_FEW = """\
As it is, a run would refuse this study: nobody would see too many pairs of terms together
({populations}). Invite more people and type this again; `plan STUDY` tells more."""
COLOURED = "{people}, colours of {each} terms each; every term was dealt to {spread}."
SELDOM = """\
{terms} fewer than {fewest} people, and no colour is told of what so few picked
(privacy.smallest_cell): invite more people, or set kit.colours_per_person higher beforehand."""
NEW = "New in {place}: {number} ({names})."
ANEW = "Made anew: {names}. Send them the new files; the earlier ones are in earlier-... beside."
LEFT = "Left as they were given, to the last byte: {number}."
BACK = "Files that were missing are there again: {names}."
TOUCHED = "No longer as given, since a file was saved in {place}; left alone: {names}."
GONE = "No longer in invitations.csv; their kits are left alone: {names}."
DEFINITIONS = "The cards show definitions. That changes the task: say so with the results."
COLOURS_STORED = (
    "consent.md has to say that colours are stored too; nobody can tell from here whether it does."
)
OTHER_CONSENT = (
    "Their earlier kits, to {other}, have another consent text: {people}. What those promise holds "
    "for what comes back from them."
)
KINDS: dict[Kind, str] = {"sort": "sort", "colours": "pick colours"}
NO_CONSENT = "consent.md says that there is no consent text, so people are told none."
SEND = """\
Give each person one of the three in their folder: the spreadsheet (.xlsx; it passes mail filters),
the page (.html; it may also lie on any web space) or the paper set (.pdf). Put what comes back into
returns/ beside {place}, and type gather."""
SEND_COLOURS = """\
Give each person one of the two in their folder: the page (.html), or the spreadsheet (.xlsx) where
a page is not let through. Put what comes back into returns/ beside {place}, and type gather."""
CAUTIONS = """\
Before you send them:
- Ethics review and the data-protection rules of the place come first; Felloe gives neither.
- Pseudonyms only, and the key to them elsewhere: not in this folder, not in the same mail.
- Mail is not confidential. Who must not be known to take part needs another way.
- A sort of a hundred terms is as good as unique: whoever has it once knows it again."""


@dataclass(frozen=True)
class Done:
    """
    What was done.

    Attributes
    ----------
    made, again, kept, restored, touched : tuple of str
        People: new ones; whose kit was made anew; whose was left as it is; of whose kit a file was
        missing and is there again; of whose kit a file is no longer as it was given.
    """

    made: tuple[str, ...] = ()
    again: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    restored: tuple[str, ...] = ()
    touched: tuple[str, ...] = ()


def cure_of(part: str, kind: Kind) -> str:
    """Return what to do about a part that has changed since kits were given."""
    return DEALT if kind == "colours" and part == "order" else KEPT.get(part, MENDED)


def range_of(numbers: Collection[int]) -> str:
    """Return the range of some numbers, or the one that all of them are."""
    return span(min(numbers, default=0), max(numbers, default=0))


def sort_told(people: int, each: Collection[int], terms: int, too_few: Sequence[str]) -> str:
    """Tell how many people sort how many terms, and of which populations they are too few."""
    told = SORTED if set(each) == {terms} else PART
    first = told.format(
        people=counted(people, "person", "people"), each=range_of(each), terms=terms
    )
    return f"{first}\n{TOO_FEW.format(populations=named(too_few))}" if too_few else first


def colours_told(people: int, each: Collection[int], counts: Collection[int], fewest: int) -> str:
    """Tell how many people pick how many colours, how often a term was dealt, and if too seldom."""
    people_told = counted(people, "person", "people")
    spread = f"{range_of(counts)} {'person' if set(counts) == {1} else 'people'}"
    first = COLOURED.format(people=people_told, each=range_of(each), spread=spread)
    seldom = sum(count < fewest for count in counts)
    terms = counted(seldom, "term has", "terms have")
    return f"{first}\n{SELDOM.format(terms=terms, fewest=fewest)}" if seldom else first


def told(
    place: str, first: str, done: Done, gone: Sequence[str], notes: Sequence[str], kind: Kind
) -> str:
    """
    Tell what was done, and what to do next.

    Parameters
    ----------
    place : str
        Where the kits are.
    first : str
        What was asked of how many.
    done : Done
    gone : sequence of str
        People with a kit who are no longer invited.
    notes : sequence of str
        What has to be said of the study.
    kind : {'sort', 'colours'}
    """
    lines = [first, *notes, ""]
    for text, people in (
        (NEW, done.made), (ANEW, done.again), (BACK, done.restored), (TOUCHED, done.touched),
        (GONE, gone),
    ):  # fmt: skip
        if people:
            number = counted(len(people), "person", "people")
            lines.append(text.format(names=named(people), number=number, place=place))
    if done.kept:
        lines.append(LEFT.format(number=counted(len(done.kept), "person", "people")))
    if done.made or done.again:
        send = SEND_COLOURS if kind == "colours" else SEND
        lines += ["", send.format(place=place), "", CAUTIONS]
    return "\n".join(lines)
