"""The vocabulary as a SKOS concept scheme, in Turtle and JSON-LD, the same bytes each time."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from felloe.ground.files.records import write_json
from felloe.ground.files.writing import write_text
from felloe.report.chart import Record
from felloe.report.mark_words import mark_sentences
from felloe.report.uris import concept_uri, scheme_uri
from felloe.report.words import PROPOSAL

Notes = list[tuple[str, str]]  # kind of note in SKOS, text

CONTEXT = {
    "skos": "http://www.w3.org/2004/02/skos/core#",
    "dcterms": "http://purl.org/dc/terms/",
    "owl": "http://www.w3.org/2002/07/owl#",
}


def vocabulary_graph(study: str, chart: Record) -> Any:
    """
    Turn a chart into a SKOS graph.

    Parameters
    ----------
    study : str
        The study's id.
    chart : dict
        As returned by `felloe.report.chart.assemble_chart`.

    Returns
    -------
    rdflib.Graph
        Classes are top concepts; subclasses and terms have one `skos:broader` each.

    References
    ----------
    W3C (2009), SKOS Simple Knowledge Organization System Reference.
    """
    from rdflib import Graph, Literal, URIRef
    from rdflib.namespace import DCTERMS, OWL, RDF, SKOS

    graph = Graph(bind_namespaces="none")
    for prefix, namespace in CONTEXT.items():
        graph.bind(prefix, namespace)
    scheme = URIRef(scheme_uri(study))
    graph.add((scheme, RDF.type, SKOS.ConceptScheme))
    graph.add((scheme, DCTERMS.title, Literal(chart["title"])))
    graph.add((scheme, OWL.versionInfo, Literal(chart["edition"])))
    if chart["instruction"]:
        note = f"Terms were sorted under this instruction: {chart['instruction']}"
        graph.add((scheme, SKOS.note, Literal(note)))
    for sentence in mark_sentences(chart):
        graph.add((scheme, SKOS.editorialNote, Literal(sentence)))
    for concept in concepts(study, chart):
        subject = URIRef(concept["uri"])
        graph.add((subject, RDF.type, SKOS.Concept))
        graph.add((subject, SKOS.inScheme, scheme))
        graph.add((subject, SKOS.prefLabel, Literal(concept["label"])))
        graph.add((subject, SKOS.notation, Literal(concept["notation"])))
        for kind, text in concept["notes"]:
            graph.add((subject, SKOS[kind], Literal(text)))
        if concept["broader"] is None:
            graph.add((subject, SKOS.topConceptOf, scheme))
            graph.add((scheme, SKOS.hasTopConcept, subject))
        else:
            graph.add((subject, SKOS.broader, URIRef(concept["broader"])))
            graph.add((URIRef(concept["broader"]), SKOS.narrower, subject))
    return graph


def concepts(study: str, chart: Record) -> Iterator[Record]:
    """Yield every class, subclass and term as a concept, terms that left the ring too."""
    for class_ in chart["classes"]:
        top = concept_uri(study, "class", class_["id"])
        yield concept(top, class_["name"], class_["id"], group_notes(class_), None)
        for subclass in class_["subclasses"]:
            middle = concept_uri(study, "subclass", subclass["id"])
            yield concept(middle, subclass["name"], subclass["id"], group_notes(subclass), top)
            for term in subclass["terms"] + subclass["absorbed"]:
                uri = concept_uri(study, "term", term["id"])
                notes = term_notes(term, term in subclass["absorbed"])
                yield concept(uri, term["label"], term["id"], notes, middle)


def concept(uri: str, label: str, notation: str, notes: Notes, broader: str | None) -> Record:
    """Return one concept as a record."""
    return {"uri": uri, "label": label, "notation": notation, "notes": notes, "broader": broader}


def group_notes(group: Record) -> Notes:
    """Return the notes of a class or subclass."""
    if group["name_is_proposal"]:
        return [("editorialNote", f"The name is {PROPOSAL}.")]
    return []


def term_notes(term: Record, absorbed: bool) -> Notes:
    """Return definition, reference, caution, status and decision of a term as notes."""
    notes = [("definition", term["definition"])] if term["definition"] else []
    if term["reference"]:
        notes.append(("note", f"Reference: {term['reference']}"))
    if term["caution"]:
        notes.append(("note", f"Caution: {term['caution']}"))
    notes.append(("editorialNote", f"Status: {term['status']}"))
    if term["decision"]:
        decision = term["decision"]
        reason = f"{decision['reason']} (decided on {decision['decided_on']})"
        notes.append(("changeNote", f"Placed beside {decision['beside']}: {reason}"))
    if absorbed:
        notes.append(("editorialNote", "Gives its group the name and is not on the outer ring."))
    return notes


def write_turtle(path: str | Path, graph: Any) -> None:
    """Write a graph as Turtle; the serialiser sorts subjects and predicates."""
    text = graph.serialize(format="turtle")
    write_text(path, text.rstrip("\n") + "\n")


def write_jsonld(path: str | Path, graph: Any) -> None:
    """Write a graph as JSON-LD with an inline context, subjects and values sorted."""
    from rdflib import Literal
    from rdflib.namespace import RDF

    nodes: dict[str, Record] = {}
    for subject, predicate, value in sorted(graph):
        node = nodes.setdefault(str(subject), {"@id": str(subject)})
        if predicate == RDF.type:
            node.setdefault("@type", []).append(compact(value))
        else:
            plain = str(value) if isinstance(value, Literal) else {"@id": str(value)}
            node.setdefault(compact(predicate), []).append(plain)
    record = {"@context": CONTEXT, "@graph": list(nodes.values())}
    write_json(path, record)


def compact(uri: object) -> str:
    """Shorten a URI by the prefixes of `CONTEXT`."""
    for prefix, namespace in CONTEXT.items():
        if str(uri).startswith(namespace):
            return f"{prefix}:{str(uri)[len(namespace) :]}"
    return str(uri)
