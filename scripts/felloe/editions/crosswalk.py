"""The crosswalk between two editions: SKOS mappings from each older concept to a newer one."""

from felloe.editions.correspondence import NONE
from felloe.editions.tables import KEPT, NEW, RENAMED, RETIRED
from felloe.ground.writing import write_text
from felloe.report.uris import concept_uri, scheme_uri

PROPERTIES = {
    "exact": "exactMatch",
    "close": "closeMatch",
    "broad": "broadMatch",
    "narrow": "narrowMatch",
    "related": "relatedMatch",
}


def same_wording(row_older, row_newer):
    """Return whether two terms are defined alike, apart from blanks."""
    texts = [(row.get("definition") or "").split() for row in (row_older, row_newer)]
    return texts[0] == texts[1]


def term_mappings(older, newer, rows, classes):
    """
    Yield how each older term maps to the newer edition.

    A term whose definition stayed maps exactly, even under another name; one that was defined
    anew maps closely. A retired term maps to the broader class that its own class became.

    Yields
    ------
    (term, mapping, tier, target)
        `mapping` a key of `PROPERTIES`; None three times for a retired term without a home.
    """
    home = {row["older"]: row["newer"] for row in classes if row["relation"] == "stayed"}
    for row in rows:
        if row["change"] in (KEPT, RENAMED):
            same = same_wording(older.terms[row["term_older"]], newer.terms[row["term"]])
            yield row["term_older"], "exact" if same else "close", "term", row["term"]
        elif row["change"] == RETIRED:
            target = home.get(row["class_older"])
            found = ("broad", "class", target) if target else (None, None, None)
            yield row["term_older"], *found


def change_note(row, edition):
    """Return what happened to a term in words, None if nothing did."""
    if row["change"] == RETIRED:
        return f"Retired in edition {edition}."
    if row["change"] == NEW:
        return f"New in edition {edition}."
    notes = []
    if row["change"] == RENAMED:
        notes.append(
            f"Renamed in edition {edition}: '{row['label_older']}' became '{row['label']}'."
        )
    if row["migration"] != NONE:
        notes.append(
            f"Another class in edition {edition} ({row['migration']}): "
            f"'{row['class_name_older']}' became '{row['class_name_newer']}'."
        )
    return " ".join(notes) or None


def build_graph(older, newer, rows, classes):
    """
    Build the crosswalk.

    Parameters
    ----------
    older, newer : EditionFiles
    rows, classes : list of dict
        From `term_rows` and `class_rows`.

    Returns
    -------
    rdflib.Graph
    """
    from rdflib import RDF, SKOS, Graph, Literal, URIRef

    graph = Graph()
    graph.bind("skos", SKOS)

    def concept(edition, tier, identifier, label):
        node = URIRef(concept_uri(edition.study, tier, identifier))
        graph.add((node, RDF.type, SKOS.Concept))
        graph.add((node, SKOS.inScheme, URIRef(scheme_uri(edition.study))))
        graph.add((node, SKOS.prefLabel, Literal(label)))
        return node

    for edition in (older, newer):
        scheme = URIRef(scheme_uri(edition.study))
        graph.add((scheme, RDF.type, SKOS.ConceptScheme))
        graph.add((scheme, SKOS.prefLabel, Literal(edition.about["title"])))
    names = {row["newer"]: row["newer_name"] for row in classes}
    for term, mapping, tier, target in term_mappings(older, newer, rows, classes):
        node = concept(older, "term", term, older.terms[term]["label"])
        if mapping:
            label = names[target] if tier == "class" else newer.terms[target]["label"]
            there = concept(newer, tier, target, label)
            graph.add((node, SKOS[PROPERTIES[mapping]], there))
    for row in classes:
        node = concept(older, "class", row["older"], row["older_name"])
        there = concept(newer, "class", row["newer"], row["newer_name"])
        graph.add((node, SKOS[PROPERTIES[row["mapping"]]], there))
    for row in rows:
        note = change_note(row, newer.about["edition"])
        if note:
            edition = older if row["change"] == RETIRED else newer
            node = concept(edition, "term", row["term"], row["label"])
            graph.add((node, SKOS.changeNote, Literal(note, lang="en")))
    return graph


def write_crosswalk(path, older, newer, rows, classes):
    """Write the crosswalk as Turtle, in an order of its own."""
    write_text(path, build_graph(older, newer, rows, classes).serialize(format="turtle"))
