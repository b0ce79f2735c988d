"""The technical words of the report, each explained shortly and in full."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Word:
    """
    A technical word.

    Attributes
    ----------
    name : str
    forms : str
        Pattern of the forms in which it occurs.
    short : str
        For the bracket where it first stands; "" for a word that only leads to the list.
    full : str
        For the list of words.
    """

    name: str
    forms: str
    short: str
    full: str

    @property
    def anchor(self) -> str:
        """Return where the list of words explains it."""
        return f"word-{self.name.lower().replace(' ', '-')}"


WORDS = (
    Word(
        "adjusted Rand",
        "adjusted Rand(?: index| agreement)?",
        "how far two divisions agree; 1 the same, 0 by chance",
        "how far two divisions of the same terms agree: 1 the same, 0 what chance gives; it "
        "can be negative.",
    ),
    Word(
        "chance line",
        "chance line",
        "the height in the tree above which terms are joined no more often than by chance",
        "the height in the tree above which terms are joined that are put together no more "
        "often than piles of these sizes give by chance; about nine in ten merges lie below "
        "it where there is no structure at all.",
    ),
    Word(
        "cophenetic correlation",
        "cophenetic correlation",
        "how far the tree repeats the data; 1 is exactly",
        "how far the heights at which the tree joins terms repeat the distances it was built "
        "from; 1 is exactly.",
    ),
    Word(
        "Delta E",
        "Delta E",
        "difference of two colours as the eye sees it",
        "how different two colours look, by the formula CIEDE2000; about 1 is just seen, from"
        " 10 or so two colours are told apart at a glance.",
    ),
    Word(
        "delta score",
        "delta score",
        "how far a term bends the tree; 0 fits exactly",
        "how far the distances of a term contradict any tree, over all sets of four terms; 0 "
        "fits exactly.",
    ),
    Word(
        "Fisher and Lee",
        "Fisher(?: and |-)Lee",
        "a correlation of directions; 1 the same way around, 0 no relation",
        "a correlation of directions on two circles; 1 the same way around, 0 no relation.",
    ),
    Word(
        "gap",
        "gap criterion",
        "how much more closely groups hold together than without structure",
        "how much more closely the groups hold together than groups in data without structure.",
    ),
    Word(
        "granularity",
        "granularity",
        "how coarsely or finely somebody sorts",
        "how coarsely or finely somebody sorts: few large piles or many small ones.",
    ),
    Word(
        "home probability",
        "home(?:-class)? probabilit(?:y|ies)",
        "share of redraws that put the term into its class",
        "share of redraws in which a term falls into the class where it is published.",
    ),
    Word(
        "interval",
        "95(?:\\s|&#8239;)%\\sinterval",
        "range that would hold the truth in 95 of 100 such studies",
        "the range that, made in this way, holds the true value in 95 of 100 studies.",
    ),
    Word(
        "Jaccard support",
        "Jaccard(?: support| index)?",
        "how much of a group comes back in the redraws; 1 is all",
        "how much of a group comes back in the redraws: terms in both the group and its best "
        "counterpart, divided by terms in either, in the mean.",
    ),
    Word(
        "linkage",
        "linkage",
        "the rule by which the tree joins groups",
        "the rule that says how far two groups of terms are from each other, by which a tree "
        "is built: average takes the mean over all pairs.",
    ),
    Word(
        "Mantel",
        "Mantel(?:'s test| p| r)?",
        "a test of whether two tables of distances are related at all",
        "the correlation of two matrices over all pairs of terms; its p comes from shuffling "
        "the terms of one.",
    ),
    Word(
        "p",
        "p (?=[=<>]|at most)",
        "",
        "how often chance alone would give a result at least as far from nothing; a large p "
        "does not show that there is nothing.",
    ),
    Word(
        "PAC",
        "PAC",
        "share of pairs neither clearly together nor clearly apart",
        "share of pairs of terms that are in the same group in some redraws and not in "
        "others: neither clearly together nor clearly apart.",
    ),
    Word(
        "Procrustes",
        "Procrustes",
        "laying one map on another",
        "laying one map on another by moving, turning, mirroring and scaling; m² is what is "
        "left over, 0 is a perfect fit.",
    ),
    Word(
        "pseudo-F",
        "pseudo-F",
        "differences between populations against those within",
        "how much people of different populations differ, compared with people of the same "
        "population.",
    ),
    Word(
        "redraw",
        "redraws?|redrawn",
        "the study repeated with people drawn anew from its own",
        "the study repeated with as many people, drawn with replacement from its own (a "
        "bootstrap); what comes back in most redraws does not hang on a few people.",
    ),
    Word(
        "reliability",
        "(?:split-half )?reliabilit(?:y|ies)",
        "how far as many other people would repeat this",
        "how far the matrix of as many other people of the same kind would correlate with "
        "this one; estimated by halving the people at random.",
    ),
    Word(
        "RV",
        "RV",
        "a correlation of two maps; 1 the same",
        "a correlation of two maps as a whole, whichever way they are turned; 1 the same.",
    ),
    Word(
        "sensitivity analyses",
        "sensitivity analyses",
        "the same sorts charted under other reasonable choices",
        "the same sorts charted under every combination of other reasonable choices: who is "
        "screened out, how people weigh, the linkage, the number of classes.",
    ),
    Word(
        "silhouette",
        "silhouettes?",
        "how distinct groups are; 1 wholly, 0 not at all",
        "how much nearer terms are to their own group than to the next one, in the mean; 1 "
        "wholly, 0 not at all.",
    ),
    Word(
        "stress-1",
        "[Ss]tress-1",
        "how badly the map repeats the data; 0 is perfect",
        "how badly distances on the map repeat the order of the data's distances; 0 is perfect.",
    ),
    Word(
        "way around",
        "way around",
        "sum of distances from neighbour to neighbour on the ring",
        "the sum of the distances between neighbours on the ring, once around; the shorter, "
        "the more alike are neighbours.",
    ),
)
IN_PARTS = (  # of studies whose people were shown a part of the terms each
    Word(
        "astray",
        "astray",
        "",
        "of a term in a simulated study: put by somebody into one of their piles at random, and "
        "not where it belongs.",
    ),
    Word(
        "observer",
        "observers?",
        "somebody who placed both terms of a pair",
        "of a pair of terms: somebody who was shown both and placed both; nobody else says "
        "anything about the pair.",
    ),
    Word(
        "shown",
        "(?<=was )shown|(?<=were )shown",
        "",
        "the terms that somebody was shown are those that were given to them to sort; of the "
        "others that person says nothing.",
    ),
)


def words_for(in_parts: bool) -> tuple[Word, ...]:
    """Return the words that a report explains, in the order of the list."""
    return tuple(sorted(WORDS + IN_PARTS * in_parts, key=lambda word: word.name.lower()))
