"""Universes of the sensitivity analysis as tables."""

from felloe.ground.tables import Column, Table, number, read_table, write_table

UNIVERSES = Table(
    "sensitivity/universes.csv",
    "The classes under each combination of choices.",
    (
        Column("universe", "count", "analysis (a combination of choices), from 1", unit="number"),
        Column("screening", "text", "who is screened out"),
        Column("weighting", "text", "how people or piles are weighted"),
        Column("linkage", "text", "linkage"),
        Column(
            "n_classes", "count", "number of classes", unit="classes", heading="number of groups"
        ),
        Column("n_participants", "count", "participants analysed", unit="participants"),
        Column("is_chart", "yes/no", "whether these are the choices of the chart"),
        Column(
            "ari_with_published",
            "number",
            "adjusted Rand agreement with the published classes",
            unit="index",
        ),
        Column("n_terms_changing", "count", "terms in another class than published", unit="terms"),
        Column("terms_changing", "ids", "these terms, joined by ;"),
    ),
)

TERMS = Table(
    "sensitivity/terms.csv",
    "How many combinations of choices give each term its published class.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "published class", unit="class id"),
        Column(
            "share_of_universes",
            "share",
            "share of the analyses that give it this class",
            heading="share of analyses",
        ),
        Column(
            "n_universes", "count", "analyses that could tell", unit="analyses", heading="analyses"
        ),
    ),
)

TABLES = (
    UNIVERSES,
    TERMS,
)


COLUMNS = (
    "universe", "screening", "weighting", "linkage", "n_classes", "n_participants", "is_chart",
    "ari_with_published", "n_terms_changing", "terms_changing",
)  # fmt: skip


def universe_rows(universes, terms, choices, n_participants):
    """Return one row per universe, not yet numbered."""
    return [
        {
            **choices,
            "linkage": one.linkage,
            "n_classes": one.n_classes,
            "n_participants": n_participants,
            "ari_with_published": one.rand,
            "n_terms_changing": len(one.changing),
            "terms_changing": ";".join(terms[term] for term in one.changing),
        }
        for one in universes
    ]


def write_universes(path, rows):
    """Write universes, as dictionaries keyed by `COLUMNS`."""
    write_table(path, COLUMNS, rows)


def read_universes(path):
    """Read universes; numbers become numbers, `terms_changing` a list."""
    return [
        {
            **row,
            "n_classes": int(row["n_classes"]),
            "n_participants": int(row["n_participants"]),
            "ari_with_published": number(row["ari_with_published"]),
            "n_terms_changing": int(row["n_terms_changing"]),
            "terms_changing": [term for term in row["terms_changing"].split(";") if term],
            "is_chart": row["is_chart"] == "yes",
        }
        for row in read_table(path)
    ]
