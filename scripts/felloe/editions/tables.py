"""What became of each term and class from one edition to the next, as tables."""

from felloe.editions.correspondence import MOVED, class_mapping, grade_migration
from felloe.ground.tables import Column, Table, number, write_table

TERMS = Table(
    "terms.csv",
    "What became of each term from one edition to the next.",
    (
        Column("term", "id", "term of the newer edition, or of the older one if it was retired"),
        Column("change", "text", "kept, renamed, new or retired"),
        Column("class_older", "id", "class in the older edition"),
        Column("class_newer", "id", "class in the newer edition"),
        Column("migration", "text", "none, robust, possible or noise"),
        Column("term_older", "id", "id in the older edition"),
        Column("label", "text", "wording"),
        Column("label_older", "text", "wording in the older edition"),
        Column("class_name_older", "text", "name of the class in the older edition"),
        Column("class_name_newer", "text", "name of the class in the newer edition"),
        Column("subclass_older", "id", "subclass in the older edition"),
        Column("subclass_newer", "id", "subclass in the newer edition"),
        Column("relation", "text", "stayed, split, merged or moved"),
        Column("probability_older", "share", "probability of the class, older edition"),
        Column("probability_newer", "share", "probability of the class, newer edition"),
        Column(
            "decided_older",
            "yes/no",
            "whether a committee placed it, older edition",
        ),
        Column(
            "decided_newer",
            "yes/no",
            "whether a committee placed it, newer edition",
        ),
    ),
)
TABLES = (TERMS,)

COLUMNS = (
    "term",
    "change",
    "class_older",
    "class_newer",
    "migration",
    "term_older",
    "label",
    "label_older",
    "class_name_older",
    "class_name_newer",
    "subclass_older",
    "subclass_newer",
    "relation",
    "probability_older",
    "probability_newer",
    "decided_older",
    "decided_newer",
)
KEPT, RENAMED, NEW, RETIRED = "kept", "renamed", "new", "retired"


def class_probability(row):
    """
    Return the bootstrap probability of the class that a term is published in.

    A term that the committee moved does not stand in its home class; what the sorts say for its
    published class is then the rival's probability, or nothing.
    """
    if row["status"] != "moved":
        return number(row["home_probability"])
    if row["rival_class"] == row["class"]:
        return number(row["rival_probability"])
    return 0.0


def term_rows(older, newer, pairs, correspondence, bounds):
    """
    Tell the fate of every term of both editions.

    Parameters
    ----------
    older, newer : EditionFiles
    pairs : list of (str, str)
        The common terms' ids in both.
    correspondence : Correspondence
        Of the published classes.
    bounds : dict
        `robust` and `possible`, as `grade_migration` takes them.

    Returns
    -------
    list of dict
        The newer edition's terms in sorted order, then the retired ones.
    """
    former = {new: old for old, new in pairs}
    rows = []
    for term in sorted(newer.terms):
        row = {"term": term, "label": newer.terms[term]["label"], "change": NEW}
        row.update(side("newer", newer, term))
        if term in former:
            row.update(side("older", older, former[term]))
            row["change"] = KEPT if former[term] == term else RENAMED
            row["label_older"] = older.terms[former[term]]["label"]
            relation = correspondence.relation(row["class_older"], row["class_newer"])
            row["relation"] = relation
            row["migration"] = grade_migration(
                relation, row["probability_older"], row["probability_newer"], **bounds
            )
        else:
            row["migration"] = "none"
        rows.append(row)
    for term in sorted(set(older.terms) - set(former.values())):
        label = older.terms[term]["label"]
        row = {"term": term, "label": label, "change": RETIRED, "migration": "none"}
        rows.append({**row, "label_older": label, **side("older", older, term)})
    return rows


def side(name, edition, term):
    """Return the columns that one edition gives to a term."""
    row = edition.charts["published"][term]
    found = {
        f"class_{name}": row["class"],
        f"class_name_{name}": row["class_name"],
        f"subclass_{name}": row["subclass"],
        f"probability_{name}": class_probability(row),
        f"decided_{name}": row["status"] == "moved",
    }
    return {**found, "term_older": term} if name == "older" else found


def class_rows(older, newer, pairs, correspondence):
    """
    Tell how the published classes of two editions stand to each other.

    Returns
    -------
    list of dict
        One for each two classes that share a term: ids, names, sizes on common terms, terms
        shared, whether matched, and the `mapping` of `class_mapping`.
    """
    members_older, members_newer = {}, {}
    for old, new in pairs:
        members_older.setdefault(older.charts["published"][old]["class"], set()).add(new)
        members_newer.setdefault(newer.charts["published"][new]["class"], set()).add(new)
    names_older = {row["class"]: row["class_name"] for row in older.charts["published"].values()}
    names_newer = {row["class"]: row["class_name"] for row in newer.charts["published"].values()}
    return [
        {
            "older": a,
            "older_name": names_older[a],
            "newer": b,
            "newer_name": names_newer[b],
            "n_older": len(members_older[a]),
            "n_newer": len(members_newer[b]),
            "n_shared": len(members_older[a] & members_newer[b]),
            "relation": correspondence.relation(a, b),
            "mapping": class_mapping(members_older[a], members_newer[b]),
        }
        for a in sorted(members_older)
        for b in sorted(members_newer)
        if members_older[a] & members_newer[b]
    ]


def migration_counts(rows):
    """Return how many terms came to each grade and each change."""
    grades = ("none", "robust", "possible", "noise")
    common = [row for row in rows if row["change"] in (KEPT, RENAMED)]
    counts = {grade: sum(row["migration"] == grade for row in common) for grade in grades}
    decided = [row for row in common if row["relation"] == MOVED]
    counts["moved_by_decision"] = sum(
        row["decided_older"] or row["decided_newer"] for row in decided
    )
    return counts


def write_edition_terms(path, rows):
    """Write the fate of every term."""
    write_table(path, COLUMNS, rows)
