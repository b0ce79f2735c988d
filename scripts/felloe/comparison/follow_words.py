"""What follows from the tables and figures on pooling, and which criteria decided."""

from collections.abc import Mapping
from typing import Any

from felloe.comparison.words import HEADINGS, NOT_MET, SHORT_QUESTIONS, answers, asked

Record = Mapping[str, Any]
DECIDES, GATE, CONDITION, REPORTED, UNUSED = (
    "decides",
    "has to be met first",
    "says whether the next counts",
    "reported only",
    "does not count",
)
POOLING = ("reliability", "corrected_r", "no_term_named")
NOTES = ("reliability", "few_terms_named", "corrected_r_without")
APART = ("no_difference_found", "no_term_named")


def roles(dossier: Record) -> dict[str, str]:
    """
    Return what each criterion did for the verdict, by key.

    The verdict's own branch of the rule decides (`felloe.comparison.verdict.decide`); where
    nobody can tell, the criteria that pooling would have needed do.
    """
    named = any(one["key"] == "no_term_named" and one["value"] for one in dossier["criteria"])
    needed = {
        "pool": POOLING,
        "pool_with_notes": NOTES,
        "keep_apart": (*APART, *NOTES),
        "cannot_tell": (*APART, *NOTES) if named else POOLING,
    }[dossier["verdict"]]
    stable = answers(dossier["criteria"]).get("stable_cut", ("", ""))[1] == "pass"
    found = {}
    for one in dossier["criteria"]:
        key = one["key"]
        if key in ("stable_cut", "changing_class"):
            found[key] = change_role(key, dossier["verdict"], stable)
        elif key == "related":
            found[key] = GATE
        else:
            found[key] = DECIDES if key in needed else REPORTED
    return found


def change_role(key: str, verdict: str, stable: bool) -> str:
    """Return what changes of class, and whether they say anything, did for a verdict."""
    if key == "stable_cut":
        return CONDITION
    if not stable:
        return UNUSED
    return REPORTED if verdict == "pool_with_notes" else DECIDES


def look(key: str, dossier: Record) -> str:
    """Return how an answer looks: pass, fail, or aside where it did not decide."""
    turn = answers(dossier["criteria"])[key][1]
    counts = roles(dossier)[key] in (DECIDES, GATE)
    return turn if turn == "pass" or counts else "aside"


def criteria(dossier: Record) -> str:
    """Say which criteria decided the verdict, and why one that is not met does not count."""
    did, said = roles(dossier), answers(dossier["criteria"])
    shown = [one["key"] for one in asked(dossier["criteria"])]
    deciding = [key for key in shown if did[key] in (DECIDES, GATE)]
    unmet = [key for key in deciding if said[key] == NOT_MET]
    aside = [key for key in shown if key not in deciding and said[key][0] == NOT_MET[0]]
    verdict = quoted(HEADINGS[dossier["verdict"]])
    sentence = f"The verdict {verdict} rests on the rows marked as deciding"
    if dossier["verdict"] == "keep_apart":
        sentence += ": a difference was found, terms are named, and classes change with them."
    elif not unmet:
        sentence += ", and all of these are met."
    else:
        sentence += f"; not met: {'; '.join(SHORT_QUESTIONS[key] for key in unmet)}."
    return " ".join([sentence, *(aside_sentence(key) for key in aside)])


def aside_sentence(key: str) -> str:
    """Say why a criterion that is not met does not decide."""
    if key == "stable_cut":
        return (
            f"{quoted('Not met')} at the random splits does not count: where splits of the same "
            "people change so many classes, changes of class speak neither for nor against pooling."
        )
    question = quoted(SHORT_QUESTIONS[key])
    return f"{quoted('Not met')} at {question} is reported and does not decide."


def quoted(text: str) -> str:
    """Return a text in quotation marks."""
    return f"\u2018{text}\u2019"


def splits(dossier: Record) -> str:
    """Say how the populations' agreement stands to that of random splits of the same people."""
    ceiling = dossier.get("noise_ceiling") or {}
    range_ = ceiling.get("random_split_r") or {}
    found, low = ceiling.get("observed_r"), range_.get("5")
    if not dossier["compared"] or found is None or low is None:
        return "Dark blocks along the diagonal are terms that many people put together."
    if found < low:
        return (
            "The populations agree less than nearly all random splits of the same people, so they "
            "do not sort identically; whether they are alike enough to be pooled is what the "
            "criteria ask."
        )
    return (
        "The populations agree about as well as random splits of the same people do: nothing here "
        "speaks against pooling them."
    )


def own_charts(differing: Mapping[str, int], n_terms: int, verdict: str) -> str:
    """
    Say what the populations' own charts mean for the published one.

    Parameters
    ----------
    differing : mapping of str to int
        Terms that stand in another class, by what the population is called.
    n_terms : int
    verdict : str
    """
    if not any(differing.values()):
        return "Each population alone gives the published classes: pooling costs nobody anything."
    who = "; ".join(f"{label} {n} of {n_terms}" for label, n in differing.items())
    sentence = f"Terms in another class than published: {who}."
    if verdict in ("pool", "pool_with_notes"):
        return (
            f"{sentence} As the populations may be pooled, take these as what fewer people give, "
            "not as another opinion."
        )
    return f"{sentence} Ask the populations about these terms before you decide on them."
