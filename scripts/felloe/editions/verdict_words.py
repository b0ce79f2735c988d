"""The verdict on two editions in plain words, and what each sentence rests on."""

from collections.abc import Sequence
from dataclasses import dataclass

from felloe.editions import verdict as codes
from felloe.editions.chance.noise_words import NEWER, OLDER, halves
from felloe.editions.verdict import Verdict

COMMON = "{terms.common|count} words"  # as `page.quoted` reads it
SOME = f"{{migrations.robust|count}} of the {COMMON} in both"
STRUCTURE = {
    codes.TOO_FEW: (
        f"Whether the classes are still those of {OLDER} cannot be told: there are too few people, "
        "or they agree too little with one another."
    ),
    codes.UNRELATED: (
        f"The classes of {NEWER} are not found to have anything to do with those of {OLDER}: they "
        "share words no more often than classes dealt at random may."
    ),
    codes.NEAR_NOT_SAME: (
        f"The classes of {NEWER} are not those of {OLDER}: words that were near still tend to be "
        "near, but the classes share words no more often than classes dealt at random may."
    ),
    codes.SAME: (
        f"The classes of {NEWER} are those of {OLDER}: they differ no more than those of two "
        "halves of one study."
    ),
    codes.ALIKE_BUT: (f"The classes of {NEWER} are by and large those of {OLDER}; {{beyond}}."),
    codes.CANNOT_TELL: (
        f"Whether the classes are still those of {OLDER} cannot be told: they differ much, but "
        "those of two halves of one study differ as much."
    ),
    codes.CHANGED: (
        f"The classes of {NEWER} are not those of {OLDER}: some go on, but words are divided "
        "otherwise; {beyond}."
    ),
    codes.LITTLE_SHARED: (
        f"The classes of {NEWER} have little in common with those of {OLDER}, though more than "
        "chance gives."
    ),
}
BEYOND = {
    ("older",): (
        f"two halves of the people of {OLDER} agree better than that, two halves of those of "
        f"{NEWER} may not"
    ),
    ("newer",): (
        f"two halves of the people of {NEWER} agree better than that, two halves of those of "
        f"{OLDER} may not"
    ),
    ("older", "newer"): "two halves of the people of either study agree better than that",
}
STOCK = {
    codes.SAME_WORDS: f"{OLDER} and {NEWER} have the same vocabulary, or nearly so",
    codes.MORE_WORDS: f"Few words of {OLDER} are retired, and many of {NEWER} are new",
    codes.FEWER_WORDS: f"Many words of {OLDER} are retired, and few of {NEWER} are new",
    codes.OTHER_WORDS: f"Many words of {OLDER} are retired, and many of {NEWER} are new",
}
MOVES = {
    codes.TOO_FEW: (
        f"whether any of the {COMMON} in both moved to another class cannot be told, since there "
        "are too few people, or they agree too little with one another"
    ),
    codes.NO_CORRESPONDENCE: (
        f"of none of the {COMMON} in both can be said that it stayed in its class or moved, since "
        "no class corresponds to another"
    ),
    codes.NONE_MOVED: f"none of the {COMMON} in both is known to have moved to another class",
    codes.NONE_ROBUST: (
        f"none of the {COMMON} in both made a robust move to another class, "
        "{migrations.possible|count} a possible one"
    ),
    codes.AS_CHANCE: (
        f"{SOME} made a robust move to another class, no more than chance alone brings"
    ),
    codes.SOME_MOVED: f"{SOME} made a robust move to another class",
    codes.MANY_MOVED: f"as many as {SOME} made a robust move to another class",
}
RESHAPED = {
    "split": "{terms.split|count} split into {terms.split_into|count}",
    "merged": "{terms.merged|count} merged into {terms.merged_into|count}",
}
PEOPLE = {
    codes.TOO_FEW: (
        "How the people of both studies see the words cannot be compared: there are too few, or "
        "they agree too little with one another."
    ),
    codes.SEEN_SAME: (
        "The people of both studies see the words that both have alike, as far as can be told."
    ),
    codes.SEEN_ALIKE_BUT: (
        "The people of both studies see the words that both have much alike, if not quite: what is "
        "left between them is more than chance gives."
    ),
    codes.SEEN_APART: (
        f"The people of {NEWER} see the words that both have otherwise than those of {OLDER} did, "
        "by more than chance gives."
    ),
    codes.SEEN_APART_SAME_CLASSES: (
        f"The people of {NEWER} see the words that both have otherwise than those of {OLDER} did, "
        "by more than chance gives, though the classes came out much as they were."
    ),
    codes.NOT_SHOWN: (
        "Neither is it shown that the people of both studies see the words that both have alike, "
        "nor that they see them otherwise."
    ),
}
ASKED_OTHERWISE = (
    "The two studies asked their people different things. What differs may come from that, and "
    "not from the vocabulary."
)
RESTS = {  # what a sentence rests on; what the record does not hold is left out
    "structure": (
        "adjusted Rand index of the classes {tiers.published.class.adjusted_rand|decimal2}, from "
        "the sorts alone {tiers.data_only.class.adjusted_rand|decimal2} (1 the same division, 0 "
        "chance); p of the classes {correspondence.p|p}",
        halves(codes.RAND, "decimal2"),
        "correlation of the distances {mantel.pearson.r|decimal2} (p = {mantel.pearson.p|p}), "
        "which alone never says that classes are the same",
    ),
    "words": (
        f"words: {{terms.retired|count}} of the {{older.n_terms|count}} of {OLDER} retired, "
        f"{{terms.new|count}} of the {{newer.n_terms|count}} of {NEWER} new",
        "words in another class: {migrations.moved|count} ({migrations.robust|count} robust moves, "
        "{migrations.possible|count} possible, {migrations.noise|count} noise)",
        halves("migrations.moved", "count"),
        "in simulations, {expected_moves.still_robust.0|percent} to "
        "{expected_moves.still_robust.1|percent} of words that had not moved made a robust move, "
        "and {expected_moves.moved_robust.0|percent} to {expected_moves.moved_robust.1|percent} of "
        "moves were found robust",
    ),
    "people": (
        "correlation of the distances less the noise of both studies: 95\u202f% interval from "
        "{corrected_r.low|decimal2} (1 alike)",
        "p of the test between people matched by how coarsely they sort "
        "{label_permutation.p_matched|p}; words placed differently "
        "{placed_differently.named|count}",
        f"how well halves of {OLDER} and of {NEWER} repeat each other (reliability): "
        "{reliability.older|decimal2} and {reliability.newer|decimal2}",
    ),
}


@dataclass(frozen=True)
class Told:
    """One sentence of the verdict and what it rests on, as `page.quoted` reads them."""

    about: str
    sentence: str
    rests: Sequence[str]


def told(found: Verdict) -> list[Told]:
    """
    Return the verdict in three sentences.

    Parameters
    ----------
    found : Verdict

    Returns
    -------
    list of Told
        On structure, words and people.
    """
    structure = STRUCTURE[found.structure].replace("{beyond}", BEYOND.get(found.beyond, ""))
    return [
        Told("Structure", structure, RESTS["structure"]),
        Told("Vocabulary", vocabulary(found), RESTS["words"]),
        Told("People", PEOPLE[found.people], RESTS["people"]),
    ]


def vocabulary(found: Verdict) -> str:
    """Return the sentence on words: those that went or came, that moved, that were reshaped."""
    parts = [STOCK[found.stock], MOVES[found.words]]
    if found.reshaped:
        reshaped = " and ".join(RESHAPED[change] for change in found.reshaped)
        parts.append(f"of the other words of {OLDER}, {reshaped}")
    return f"{'; '.join(parts)}."


def asked_otherwise(found: Verdict) -> str:
    """Return the caution that is due where two studies asked different things; "" if not."""
    return ASKED_OTHERWISE if codes.ASKED_OTHERWISE in found.cautions else ""
