"""Universes of the sensitivity analysis as tables."""

from felloe.ground.tables import number, read_table, write_table

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
