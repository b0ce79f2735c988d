"""What noise alone does to the numbers of a comparison, as `page.quoted` reads it."""

OLDER, NEWER = "{older.edition|text}", "{newer.edition|text}"


def spread(key: str, style: str) -> str:
    """Return median and range of an index over divisions, from where they stand."""
    middle, low, high = (f"{{{key}.{end}|{style}}}" for end in ("median", "low", "high"))
    return f"{middle} ({low} to {high})"


def halves(key: str, style: str, name: str = "") -> str:
    """Return what two halves of either study show of an index, from where it stands."""
    what = f"{name} " if name else ""
    older, newer = (spread(f"noise.{side}.{key}", style) for side in ("older", "newer"))
    return f"two halves of {OLDER}: {what}{older}, of {NEWER}: {newer}"


RULE = (
    "Beside every index stands what two random halves of the people of one study show: each half "
    "charted anew from its sorts alone, as the study was, and held against the other "
    "({noise.older.divisions|count} divisions; median, and the range of nine in ten). They are "
    f"halves of {{noise.older.n_people|count}} people of {OLDER} and of "
    f"{{noise.newer.n_people|count}} of {NEWER}. Half the people have more noise than all of "
    "them, and nothing corrects for it here: where the editions differ more than halves do, more "
    "than noise lies behind it; where they differ as much, it may be noise."
)
UNKNOWN = (
    "What two random halves of each study would show cannot be told: a study of fewer than four "
    "people has none."
)
MOVED = "noise.{side}.migrations.moved"
MOVES = (
    "In all, {migrations.moved|count} words stand in a class that does not correspond to their "
    "former one. Between two halves of one study it is "
    f"{spread(MOVED.format(side='older'), 'count')} in {OLDER} and "
    f"{spread(MOVED.format(side='newer'), 'count')} in {NEWER}."
)
SIMULATED = (
    "How far can the grades be trusted? In simulated pairs of editions of "
    "{expected_moves.terms|count} words, whose people agree as yours do (reliability "
    "{expected_moves.reliability|decimal2}; {expected_moves.runs|count} pairs of each kind; the "
    "least and the most of the ways to invent people), {expected_moves.false_robust.0|percent} to "
    "{expected_moves.false_robust.1|percent} of pairs in which nothing had moved had a robust "
    "move all the same, and {expected_moves.still_robust.0|percent} to "
    "{expected_moves.still_robust.1|percent} of their words one. Where "
    "{expected_moves.planted|count} moves were planted, "
    "{expected_moves.moved_robust.0|percent} to {expected_moves.moved_robust.1|percent} of them "
    "were found robust, a further {expected_moves.moved_possible.0|percent} to "
    "{expected_moves.moved_possible.1|percent} possible."
)
NOTHING_SIMULATED = (
    "How often such editions have a false robust move, and how many true ones are found, was not "
    "simulated for people who agree as these do."
)
SIMULATED_IN_PARTS = (
    "Those people sorted all words. Sorts in parts had a false robust move 1.2 to 2.6 times as "
    "often, and lost 3 to 9 in a hundred of the true ones (DEVELOPERS.md)."
)
F_OF = "noise.{side}.label_permutation.pseudo_F"
TESTS = (
    f"Of two halves of {OLDER} pseudo-F is {spread(F_OF.format(side='older'), 'decimal2')}, less "
    f"those measures {spread(F_OF.format(side='older') + '_adjusted', 'decimal2')}; of {NEWER} "
    f"{spread(F_OF.format(side='newer'), 'decimal2')} and "
    f"{spread(F_OF.format(side='newer') + '_adjusted', 'decimal2')}; R² depends on how many "
    "people there are, F hardly does. Of such halves one in twenty has p of 0.05 or less, by the "
    "making of the tests."
)
CUTS = (
    "Halves are cut into as many groups as their study's chart from the sorts alone has; they have "
    "no committee, so their lines stand for the published chart too."
)


def beside(key: str, style: str, name: str = "") -> str:
    """Return the sentence for the place where an index is told."""
    return f"Of {halves(key, style, name)}."
