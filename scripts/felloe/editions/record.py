"""The record of two editions compared."""

from felloe.editions.tables import KEPT, NEW, RENAMED, RETIRED, migration_counts

CLASS_RULE = (
    "Classes are matched one to one by the largest overlap of their common terms, never by name. "
    "A class left over counts as a part of the class that holds more than half of its common "
    "terms: a term that followed it there has not migrated."
)
MIGRATION_RULE = (
    "A term has migrated if its classes in the two editions do not correspond. The move is "
    "robust if the bootstrap probability of its class is at least the robust bound in both "
    "editions, possible if it is at least the possible bound in both, otherwise noise."
)


def about(edition):
    """Return who an edition is, from its study's own words."""
    return {
        "study": edition.study,
        "title": edition.about["title"],
        "edition": str(edition.about["edition"]),
        "n_terms": len(edition.terms),
        "n_participants": len(edition.sorts.participants),
    }


def comparison_record(older, newer, rows, classes, measures, bounds):
    """
    Put the comparison of two editions into one record.

    Parameters
    ----------
    older, newer : EditionFiles
    rows, classes : list of dict
        From `term_rows` and `class_rows`.
    measures : dict
        What was computed on the common terms.
    bounds : dict
        Of the grades of migration.

    Returns
    -------
    dict
    """
    n = {
        change: sum(row["change"] == change for row in rows)
        for change in (KEPT, RENAMED, NEW, RETIRED)
    }
    common = n[KEPT] + n[RENAMED]
    return {
        "older": about(older),
        "newer": about(newer),
        "terms": {
            "common": common,
            **n,
            "coverage_older": common / len(older.terms),
            "coverage_newer": common / len(newer.terms),
        },
        "same_instruction": older.about.get("instruction") == newer.about.get("instruction"),
        **measures,
        "classes": classes,
        "class_rule": CLASS_RULE,
        "migrations": {
            **migration_counts(rows),
            **{f"bound_{key}": bound for key, bound in bounds.items()},
        },
        "migration_rule": MIGRATION_RULE,
    }
