"""What the figures of the tree say in words."""

SCALES = {
    "average": "share of participants who keep the groups apart (mean over pairs)",
    "complete": "share of participants who keep the groups apart (most distant pair)",
    "single": "share of participants who keep the groups apart (nearest pair)",
    "weighted": "share of participants who keep the groups apart (halves weighted alike)",
    "ward": "Ward's height on the square root of the share of participants",
}
TREE_KEY = (
    "Numbers: bootstrap proportion in percent, at subclasses and above; bold: supported, more "
    "than data without structure reach. Beside a class: its mean bootstrap Jaccard.",
    "? doubtful   ?? undecided.   Lines: the cuts, and the chance line: merges above it are no "
    "better than chance, those below it not therefore better.",
)
TIED_KEY = "Open diamonds: merges that depend on how ties are broken."
MATRIX_KEY = (
    "Share of participants who put two terms together; terms in the order of the tree, classes "
    "framed."
)
NOT_NAMED = (
    "{terms:,} terms have no room for their names; tiers/evidence.csv has the place of each."
)
NAMED_BY_CLASS = "\n{terms:,} terms have no room for their names: those beside are of the classes."
CUTS_KEY = (
    "Ring: the number chosen. Open point: groups no tighter than without structure, or a cut "
    "through a tie. Dashed: without structure, the same with terms permuted within participants."
)
TIERS = {"class": "classes", "subclass": "subclasses"}


def tree_key(tied: bool, whose: str, unnamed: int = 0) -> str:
    """
    Return the lines of the key of the tree.

    `whose` says whose sorts it is made from; `unnamed` is the number of its terms if they have no
    room for their names.
    """
    said = [NOT_NAMED.format(terms=unnamed)] if unnamed else []
    return "\n".join([whose, *TREE_KEY, *([TIED_KEY] if tied else []), *said])


def matrix_key(terms: int, named: bool) -> str:
    """Return the key of the matrix; `named`: whether its rows have names of their own."""
    return MATRIX_KEY + ("" if named else NAMED_BY_CLASS.format(terms=terms))


def class_title(name: str, jaccard: float, holds: bool) -> str:
    """Return what is printed beside a class: name, support, whether it holds."""
    return f"{name}  {jaccard:.2f}" + ("" if holds else ", independent")


def only_number(number: int) -> str:
    """Say that one number was considered; panels of one point would show nothing."""
    return f"Only {number} was considered: there is nothing to compare it with."
