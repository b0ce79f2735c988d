"""The oldest invented study, of 2006: what it differs in, and what became of its terms in 2016."""

from demo_editions import Edition
from demo_sorters import Population, class_of

YEAR = 2006
FORMER = Edition(
    year=YEAR,
    study="brine-2006",
    title="Words for fermented vegetables, a first list (invented data)",
    instruction="Put together the words that belong together. Make as many piles as you like.",
    populations=(
        Population("judges", "Judges of the guild's shows", 15, 15, 0.34, 0.18, 0.0),
        Population("makers", "Makers of fermented vegetables", 27, 12, 0.36, 0.22, 0.0),
    ),
    careless=("one_pile",),
    incomplete=(),
    duplicated=0,
)
# classes of 2006 that 2016 made one of, or that it divided: who followed its fellows has not moved
JOINED = {("rot", "off"), ("cellar", "off")}
DIVIDED = {("savoury", "pungent")}


def former_words(words, rows):
    """
    Return the words of 2006 as the later editions' source has theirs.

    Parameters
    ----------
    words : list of dict
        Rows of ``lexicon.csv``.
    rows : list of dict
        Rows of ``former_lexicon.csv``: place of each term, and wording where no later edition has
        the term.
    """
    known = {**{word["term"]: word for word in words}, **by_former_id(words)}
    chosen = []
    for row in rows:
        own = {name: row[name] for name in ("label", "definition", "reference", "caution")}
        word = known.get(row["term"], {"place_2016": "", "old_term": "", **own})
        label = word["old_label"] if word["old_term"] else word["label"]
        plain = {"term": row["term"], "label": label, "old_term": "", "also": ""}
        chosen.append({**word, **plain, f"place_{YEAR}": row["place"], "makers_2026": ""})
    return chosen


def by_former_id(words):
    """Return the words that were renamed later, by their id before."""
    return {word["old_term"]: word for word in words if word["old_term"]}


def became(word):
    """Return the class of 2016 that a term of 2006 was planted in, and what that is."""
    if not word["place_2016"]:
        return "", "returned" if word.get("place_2026") else "retired"
    change = class_of(word[f"place_{YEAR}"]), class_of(word["place_2016"])
    if change[0] == change[1]:
        return change[1], "stayed"
    if change in JOINED:
        return change[1], "joined"
    return change[1], "divided" if change in DIVIDED else "moved"
