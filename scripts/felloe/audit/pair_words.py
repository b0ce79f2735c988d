"""What follows for a comparison of editions, in words."""

from collections.abc import Sequence

from felloe.audit.pair_changes import (
    GradeChange,
    IndexChange,
    PairEffects,
    Standing,
    Value,
    VerdictChange,
)
from felloe.audit.phrases import ARROW, Sides, counted
from felloe.ground.files.numbers import shown

INDICES = {
    "correspondence.found": "classes correspond better than chance",
    "tiers.published.class.adjusted_rand": "adjusted Rand index of the classes",
    "migrations.robust": "robust moves",
    "migrations.possible": "possible moves",
    "migrations.noise": "moves that may be noise",
    "migrations.moved": "terms in another class, however sure",
    "migrations.moved_by_decision": "moves that a committee decided",
    "migrations.no_correspondence": "terms of classes without correspondence",
    "tiers.published.class.n_older": "classes of the older edition",
    "tiers.published.class.n_newer": "classes of the newer edition",
    "tiers.published.class.adjusted_mutual_information": "adjusted mutual information, classes",
    "tiers.published.class.variation_of_information": "variation of information, classes",
    "tiers.published.subclass.adjusted_rand": "adjusted Rand index of the subclasses",
    "tiers.data_only.class.adjusted_rand": "adjusted Rand index, classes of the data alone",
    "correspondence.p": "p of the classes' correspondence",
    "corrected_r.corrected": "correlation of distances less noise",
    "corrected_r.low": "its interval from",
    "corrected_r.high": "its interval to",
    "mantel.pearson.r": "Mantel's r of the distances",
    "mantel.spearman.r": "Mantel's r of their ranks",
    "label_permutation.p_adjusted": "p that people are alike, adjusted",
    "label_permutation.p_matched": "p that people are alike, matched",
    "placed_differently.named": "terms that people place differently",
    "trees.cophenetic_correlation": "cophenetic correlation of the trees",
    "trees.bakers_gamma": "Baker's gamma of the trees",
    "trees.robinson_foulds_share": "clades of only one tree, share",
    "order.uniform_margins": "circular correlation of the orders",
    "maps.procrustes_m2": "what Procrustes leaves of the maps",
    "reliability.older": "reliability of the older edition",
    "reliability.newer": "reliability of the newer edition",
    "terms.common": "common terms",
    "terms.kept": "terms under one id",
    "terms.renamed": "renamed terms",
    "terms.redefined": "redefined terms",
    "terms.split": "older terms that were split",
    "terms.split_into": "newer terms out of these",
    "terms.merged": "older terms that were merged",
    "terms.merged_into": "newer terms that hold these",
    "terms.retired": "retired terms",
    "terms.new": "new terms",
    "noise.older.tiers.data_only.class.adjusted_rand.median": (
        "adjusted Rand index of two halves of the older study"
    ),
    "noise.newer.tiers.data_only.class.adjusted_rand.median": (
        "adjusted Rand index of two halves of the newer study"
    ),
    "noise.older.migrations.moved.median": "terms moved between two halves of the older study",
    "noise.newer.migrations.moved.median": "terms moved between two halves of the newer study",
    "timeline.paths.number": "paths of terms through all editions",
    "timeline.paths.moved": "paths with a move, however sure",
    "timeline.paths.robust": "paths with a robust move",
    "timeline.paths.possible": "paths whose surest move is possible",
    "timeline.paths.noise": "paths whose surest move may be noise",
    "timeline.paths.several": "paths with several moves",
    "timeline.entropy.editions": "entropy of classes between editions, mean of paths",
}
STANDINGS = {
    "robust": "robust move",
    "possible": "possible move",
    "noise": "move that may be noise",
    "no_correspondence": "class without correspondence",
    "stayed": "stayed",
    "split": "went with a part of its class",
    "merged": "went with its class into another",
    "path_": "no move on the way",
    "path_robust": "robust move on the way",
    "path_possible": "possible move on the way",
    "path_noise": "move on the way that may be noise",
    "term_new": "new term",
    "term_retired": "retired term",
    "term_split": "term that was split",
    "term_merged": "term that was merged",
}
LOST = (
    "the swap breaks the correspondence: in {now} classes correspond no better than chance, "
    "and nothing is said of their terms"
)
FOUND = "classes correspond better than chance in {now}, and did not in {was}"
SENTENCE = "the verdict on {about} is another one in {now}: {said}"
NOT_TOLD = "nothing"
NO_INDEX = "no index of the comparison changes ({number} compared)"
NO_PATH = "no term moves otherwise through all editions ({number} compared)"
NO_GRADE = "no term's grade changes ({number} compared)"


def number(value: Value, other: Value = None) -> str:
    """Return a value as a reader sees it, with as many places as tell it from the other."""
    plain = shown(value, "auto")
    both_numbers = isinstance(value, (int, float)) and isinstance(other, (int, float))
    if both_numbers and value != other and plain == shown(other, "auto"):
        return f"{value:.6g}"
    return plain


def by(one: IndexChange) -> str:
    """Return by how much an index changes, empty where that is no number."""
    if isinstance(one.was, (bool, str)) or isinstance(one.now, (bool, str)):
        return ""
    if one.was is None or one.now is None:
        return ""
    difference = one.now - one.was
    return f"{difference:+d}" if isinstance(difference, int) else f"{difference:+.3g}"


def index(one: IndexChange) -> str:
    """Return an index that changes."""
    change = by(one)
    text = f"{INDICES[one.key]}: {number(one.was, one.now)}{ARROW}{number(one.now, one.was)}"
    return text + (f" ({change})" if change else "")


def sentence(one: VerdictChange, sides: Sides) -> str:
    """Return a sentence of the verdict as it stands in the second run, and what it is about."""
    return SENTENCE.format(about=one.about.lower(), now=sides[1], said=one.now or NOT_TOLD)


def standing(code: str) -> str:
    """Return what became of a term."""
    return STANDINGS.get(code, code.replace("_", " "))


def place(one: Standing) -> str:
    """Return what became of a term, with its classes in both editions."""
    if not one.older or not one.newer:
        return standing(one.code)
    return f"{standing(one.code)} ({one.older} / {one.newer})"


def head(codes: tuple[str, str], found: Sequence[GradeChange]) -> str:
    """Return of how many terms the one and the other run tell two things."""
    names = f"{standing(codes[0])}{ARROW}{standing(codes[1])}"
    return f"{counted(len(found), 'term', 'terms')}, {names}"


def broken(effects: PairEffects, sides: Sides) -> str:
    """Say that only one run has classes that correspond, empty if both have or none has."""
    text = LOST if effects.lost else FOUND if effects.found else ""
    return text.format(was=sides[0], now=sides[1])


def no_index(effects: PairEffects) -> str:
    """Say that no index changes."""
    return NO_INDEX.format(number=counted(effects.n_indices, "is", "are"))


def no_grade(effects: PairEffects) -> str:
    """Say that no term's grade changes."""
    return NO_GRADE.format(number=counted(effects.n_terms, "is", "are"))


def no_path(effects: PairEffects) -> str:
    """Say that no term moves otherwise through three editions and more."""
    return NO_PATH.format(number=counted(effects.n_paths, "path is", "paths are"))
