"""What the committee is asked, and what each answer would cost, as rows in words."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row
from felloe.tiers.words import NO_RIVAL, VOID, reason

FEW_ANALYSES = "fewer than {enough:.0f} % of the analyses agree"
CLASSES = {
    "few_terms": "has too few terms to be a class by itself",
    "low_support": "does not come back often enough when people are redrawn",
    "chance_support": "comes back no more often than a class without structure",
}
ALTERNATIVES = {"term": 2, "sensitive": 1}  # shown for a question of each kind
NOTES = {
    "empties_class": "its class ends",
    "empties_subclass": "its subclass ends",
    "replaces_decision": "replaces a decision",
    "decided_in_a_ring": "the other term's decision leads back to this one",
}
REGROUPED = {
    "merge": "merge {one} with {other}",
    "split": "split {one}",
    "number": "{classes} classes",
}
NO_SETTING = {
    "others_first": "none; it would change other classes too",
    "not_next": "none; the tree does not put the two side by side",
    "as_subclasses": "none; a setting parts it into subclasses only",
    "cut_refused": "none; a branch cut of the settings cannot be made then",
}


def terms(
    questions: Iterable[Row],
    published: Iterable[Row],
    held: Iterable[Row],
    rule: Mapping[str, Any],
    enough: float,
) -> list[Row]:
    """
    Return the terms that are asked about, with why and with what the sorts say.

    Parameters
    ----------
    questions, published, held : iterable of dict
        Rows of `questions.csv`, `published.csv` and `sensitivity/terms.csv`.
    rule : mapping
        `status_rule` of `choice.json`.
    enough : float
        Share of the analyses from which a firm term is not asked about.

    Returns
    -------
    list of dict
        Rows of `published.csv` with `number`, `reason` and `share_of_universes`.
    """
    places = {row["term"]: row for row in published}
    shares = {row["term"]: row["share_of_universes"] for row in held}
    found = []
    for asked in questions:
        if asked["kind"] not in ALTERNATIVES:
            continue
        place = places[asked["subject"]]
        sensitive = asked["kind"] == "sensitive"
        row = {
            **place,
            "number": asked["number"],
            "status": "firm, sensitive" if sensitive else place["status"],
            "reason": FEW_ANALYSES.format(enough=100 * enough)
            if sensitive
            else reason(asked["reason"], rule),
            "share_of_universes": shares.get(asked["subject"], ""),
        }
        if not place["rival_class"]:
            row |= {"rival_class": NO_RIVAL if not sensitive else "", "rival_probability": ""}
        found.append(row)
    return found


def alternatives(
    questions: Iterable[Row], prices: Iterable[Row], published: Sequence[Row]
) -> list[Row]:
    """
    Return the cheapest other places of each term that is asked about, nearest first.

    Cheapest is the place that most redraws back; among equal ones the one that costs the tree the
    least fit. Beside other classes stands the cheapest other subclass of the term's own class.

    Parameters
    ----------
    questions, prices, published : iterable of dict
        Rows of `questions.csv`, `prices.csv` and `published.csv`.

    Returns
    -------
    list of dict
        Rows of `prices.csv` with `number`, `place` (class and subclass by name), `within` (whether
        in its own class) and `note` in words; those of a term as the ballot has them.
    """
    rows, found = list(prices), []
    for asked in questions:
        most = ALTERNATIVES.get(asked["kind"], 0)
        if not most:
            continue
        places = [row for row in rows if row["term"] == asked["subject"]]
        places.sort(
            key=lambda row: (-row["home_probability"], -row["cophenetic_change"], row["rank"])
        )
        within = [row for row in places if row["class"] == asked["class"]]
        others = [row for row in places if row["class"] != asked["class"]]
        found += [
            {
                **row,
                "number": asked["number"],
                "place": place_name(row, published),
                "within": row["class"] == asked["class"],
                "note": "; ".join(NOTES[code] for code in row["note"].split(";") if code),
            }
            for row in sorted(others[:most] + within[:1], key=lambda row: row["rank"])
        ]
    return found


def place_name(row: Row, published: Iterable[Row]) -> str:
    """Return a class and subclass by their names."""
    for one in published:
        if (one["class"], one["subclass"]) == (row["class"], row["subclass"]):
            return f"{one['class_name']} \u203a {one['subclass_name']}"
    return f"{row['class']} \u203a {row['subclass']}"


def others(
    questions: Iterable[Row],
    names: Mapping[str, str],
    groups: Iterable[Row],
    labels: Mapping[str, str],
) -> list[str]:
    """
    Say what else is asked: weak classes, decisions that came to nothing, names.

    Parameters
    ----------
    questions, groups : iterable of dict
        Rows of `questions.csv` and `groups.csv`.
    names, labels : mapping of str to str
        Of classes and of terms.
    """
    rows, said = list(questions), []
    for row in rows:
        if row["kind"] == "class":
            name = names.get(row["subject"], row["subject"])
            why = "; ".join(CLASSES[code] for code in row["reason"].split(";"))
            said.append(
                f"Question {row['number']}: keep {name} as a class, or dissolve it? It {why}."
            )
        if row["kind"] == "void":
            name = labels.get(row["subject"], row["subject"])
            said.append(
                f"Question {row['number']}: keep the decision on {name}, or take it back? "
                f"It came to nothing: {VOID[row['reason']]}."
            )
    wanted = [row for row in rows if row["kind"] == "name" and "lone_term" not in row["reason"]]
    if wanted:
        called = {(row["tier"], row["id"]): row["name"] for row in groups}
        told = "; ".join(
            f"{called.get((row['tier'], row['subject']), row['subject'])} ({row['tier']}, "
            f"question {row['number']})"
            for row in wanted
        )
        said.append(f"Names are still proposals, the most central term of each: {told}.")
    lone = [row["number"] for row in rows if row["kind"] == "name" and row not in wanted]
    if lone:
        where = f"question {lone[0]}" if len(lone) == 1 else f"questions {lone[0]} to {lone[-1]}"
        said.append(
            f"Groups of one term, which go by that term and need no name: {len(lone)} ({where})."
        )
    return said


def regroupings(rows: Iterable[Row], names: Mapping[str, str]) -> list[Row]:
    """Return rows of `regroupings.csv` in words; a number that another row tells is left out."""
    found = []
    for row in rows:
        if row["note"].startswith("same_as_"):
            continue
        said = REGROUPED[row["kind"]].format(
            one=names.get(row["class"], row["class"]),
            other=names.get(row["other"], row["other"]),
            classes=row["classes"],
        )
        setting = row["setting"] or NO_SETTING.get(row["note"], row["note"])
        found.append({**row, "what": said, "setting": setting})
    return found
