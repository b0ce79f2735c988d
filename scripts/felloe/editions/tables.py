"""The tables of two editions compared."""

from collections.abc import Iterable

from felloe.editions.linking.links import Link
from felloe.ground.files.tables import Column, Row, Table

TERMS = Table(
    "terms.csv",
    "What became of each term from one edition to the next.",
    (
        Column("term", "id", "term of the newer edition, or of the older one if it was retired"),
        Column(
            "change",
            "text",
            "kept, renamed, redefined, split, merged, new or retired; a term "
            "that was split has a row for each newer one",
        ),
        Column(
            "class_older",
            "id",
            "class in the older edition; of merged terms every one, joined by ;",
            unit="class id",
        ),
        Column("class_newer", "id", "class in the newer edition", unit="class id"),
        Column(
            "migration",
            "text",
            "none (of split and merged terms always), or how far the change of class is told from "
            "the noise of both studies: robust, possible or noise; no_correspondence: neither of "
            "its classes has a counterpart better than chance",
        ),
        Column(
            "term_older",
            "id",
            "id in the older edition; of merged terms every one, joined by ;; empty: new",
        ),
        Column("label", "text", "wording, in the newer edition where it has the term"),
        Column("label_older", "text", "wording in the older edition"),
        Column("class_name_older", "text", "name of the class in the older edition"),
        Column("class_name_newer", "text", "name of the class in the newer edition"),
        Column("subclass_older", "id", "subclass in the older edition"),
        Column("subclass_newer", "id", "subclass in the newer edition"),
        Column(
            "relation",
            "text",
            "how a common term came from the one class to the other: stayed, split, merged, moved "
            "or no_correspondence; of a split or merged one the same, where it can be told",
        ),
        Column(
            "probability_older",
            "share",
            "share of the older edition's replicates that put it into its published class",
        ),
        Column("probability_newer", "share", "the same for the newer edition"),
        Column("decided_older", "yes/no", "whether a committee placed it, older edition"),
        Column("decided_newer", "yes/no", "whether a committee placed it, newer edition"),
        Column(
            "placed_differently_p",
            "probability",
            "permutation p of the test whether the people of both editions place a common term "
            "differently, beyond granularity and noise, allowing for every term",
        ),
        Column("reason", "text", "why, as crosswalk.csv of the newer study says"),
        Column(
            "instead",
            "ids",
            "of a retired term: newer ones to use instead, as crosswalk.csv says",
        ),
        Column("label_instead", "text", "their wordings, joined by ;"),
        Column(
            "heir",
            "id",
            "of a retired term: newer class that its class became or is a part of; empty: none",
            unit="class id",
        ),
        Column("heir_name", "text", "name of that class"),
    ),
)

LINKS = Table(
    "links.csv",
    "How every term of two editions stands to the other edition.",
    (
        Column("older", "ids", "terms of the older edition; empty: new"),
        Column("newer", "ids", "terms of the newer edition; of a retired term what to use instead"),
        Column("relation", "text", "exact, renamed, redefined, split, merged, retired or new"),
        Column("reason", "text", "reason given"),
        Column(
            "source",
            "text",
            "where it is said: crosswalk (crosswalk.csv of the newer study), renamed_from "
            "(terms.csv), same_id (one id in both editions), nowhere",
        ),
    ),
)

SUGGESTED = Table(
    "crosswalk_suggested.csv",
    "Rows that crosswalk.csv of the newer study might have; nothing is computed from them.",
    tuple(column for column in LINKS.columns if column.name != "source"),
)

MEMBERS = Table(
    "members.csv",
    "What became of every older word, in plain words, by letter.",
    (
        Column("old_word", "text", "wording in the older edition"),
        Column("what_became_of_it", "text", "in the words of the newer study's language"),
        Column("where_it_is_now", "text", "words of the newer edition, and their classes"),
        Column("why", "text", "reason given, or that none is"),
        Column("term", "id", "id in the older edition"),
        Column("newer", "ids", "terms of the newer edition that it leads to"),
        Column("relation", "text", "exact, renamed, redefined, split, merged or retired"),
    ),
)
TABLES = (TERMS, LINKS, SUGGESTED, MEMBERS)


def suggested_rows(links: Iterable[Link]) -> list[Row]:
    """Return links as rows of the table that is to be edited."""
    return [{name: getattr(link, name) for name in SUGGESTED.names} for link in links]
