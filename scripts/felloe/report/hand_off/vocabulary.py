"""The vocabulary as a SKOS concept scheme, in Turtle and JSON-LD, the same bytes each time."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe.ground.files.records import write_json
from felloe.ground.files.writing import write_text
from felloe.report.chart import Record, chart_terms
from felloe.report.hand_off.uris import concept_uri, scheme_uri
from felloe.report.languages.language_words import Words, interface_words
from felloe.report.mark_words import marks_told

CONTEXT = {
    "skos": "http://www.w3.org/2004/02/skos/core#",
    "dcterms": "http://purl.org/dc/terms/",
    "owl": "http://www.w3.org/2002/07/owl#",
}


@dataclass(frozen=True)
class Note:
    """
    Something that is said of a concept.

    Attributes
    ----------
    kind : str
        In SKOS, such as `definition` or `note`.
    text : str
    language : str
        Tag of the language that the text is in.
    """

    kind: str
    text: str
    language: str


def vocabulary_graph(study: str, chart: Record, translations: Sequence[Record] = ()) -> Any:
    """
    Turn a chart into a SKOS graph.

    Parameters
    ----------
    study : str
        The study's id.
    chart : dict
        As returned by `felloe.report.chart.assemble_chart`.
    translations : sequence of dict
        The same chart in further languages, as `languages.translation.translated` returns it.

    Returns
    -------
    rdflib.Graph
        Classes are top concepts; subclasses and terms have one `skos:broader` each. Every text
        has the tag of its language; a concept has one preferred label in each language into
        which it is translated.

    References
    ----------
    W3C (2009), SKOS Simple Knowledge Organization System Reference.
    """
    from rdflib import Graph, Literal, URIRef
    from rdflib.namespace import RDF, SKOS

    graph = Graph(bind_namespaces="none")
    for prefix, namespace in CONTEXT.items():
        graph.bind(prefix, namespace)
    scheme = describe_scheme(graph, study, chart)
    for concept in concepts(study, chart):
        subject = URIRef(concept["uri"])
        graph.add((subject, RDF.type, SKOS.Concept))
        graph.add((subject, SKOS.inScheme, scheme))
        graph.add((subject, SKOS.notation, Literal(concept["notation"])))
        for note in concept["notes"]:
            graph.add((subject, SKOS[note.kind], Literal(note.text, lang=note.language)))
        if concept["broader"] is None:
            graph.add((subject, SKOS.topConceptOf, scheme))
            graph.add((scheme, SKOS.hasTopConcept, subject))
        else:
            graph.add((subject, SKOS.broader, URIRef(concept["broader"])))
            graph.add((URIRef(concept["broader"]), SKOS.narrower, subject))
    for each in translations:
        for uri, note in translated_notes(study, each):
            graph.add((URIRef(uri), SKOS[note.kind], Literal(note.text, lang=note.language)))
    return graph


def describe_scheme(graph: Any, study: str, chart: Record) -> Any:
    """Add the concept scheme to a graph, and return its name."""
    from rdflib import Literal, URIRef
    from rdflib.namespace import DCTERMS, OWL, RDF, SKOS

    language, words = chart["language"], interface_words(chart["language"])
    scheme = URIRef(scheme_uri(study))
    graph.add((scheme, RDF.type, SKOS.ConceptScheme))
    graph.add((scheme, DCTERMS.title, Literal(chart["title"], lang=language)))
    graph.add((scheme, OWL.versionInfo, Literal(chart["edition"])))
    if chart["instruction"]:
        note = words.fill("vocabulary.instruction", instruction=chart["instruction"])
        graph.add((scheme, SKOS.note, Literal(note, lang=language)))
    for sentence in marks_told(chart, words):
        graph.add((scheme, SKOS.editorialNote, Literal(sentence, lang=words.language)))
    return scheme


def concepts(study: str, chart: Record) -> Iterator[Record]:
    """Yield every class, subclass and term as a concept, terms that left the ring too."""
    words = interface_words(chart["language"])
    labels = {term["id"]: term["label"] for *_, term in chart_terms(chart, True)}
    for class_ in chart["classes"]:
        top = concept_uri(study, "class", class_["id"])
        yield concept(top, class_["id"], group_notes(class_, words), None)
        for subclass in class_["subclasses"]:
            middle = concept_uri(study, "subclass", subclass["id"])
            yield concept(middle, subclass["id"], group_notes(subclass, words), top)
            for term in subclass["terms"] + subclass["absorbed"]:
                uri = concept_uri(study, "term", term["id"])
                notes = term_notes(term, term in subclass["absorbed"], words, labels)
                yield concept(uri, term["id"], notes, middle)


def concept(uri: str, notation: str, notes: Sequence[Note], broader: str | None) -> Record:
    """Return one concept as a record."""
    return {"uri": uri, "notation": notation, "notes": notes, "broader": broader}


def group_notes(group: Record, words: Words) -> list[Note]:
    """Return the preferred label and the notes of a class or subclass."""
    notes = [Note("prefLabel", group["name"], words.asked)]
    if group["name_is_proposal"]:
        notes.append(Note("editorialNote", words["vocabulary.name_proposal"], words.language))
    return notes


def term_notes(term: Record, absorbed: bool, words: Words, labels: Mapping[str, str]) -> list[Note]:
    """Return preferred label, definition, reference, caution, status and decision of a term."""
    notes = wording_notes(term, words)
    status = words.fill("vocabulary.status", status=words[f"status.{term['status']}"])
    notes.append(Note("editorialNote", status, words.language))
    if term["decision"]:
        decision = term["decision"]
        text = words.fill(
            "vocabulary.decision",
            beside=labels.get(decision["beside"], decision["beside"]),
            reason=decision["reason"],
            day=decision["decided_on"],
        )
        notes.append(Note("changeNote", text, words.asked))
    if absorbed:
        notes.append(Note("editorialNote", words["vocabulary.absorbed"], words.language))
    return notes


def wording_notes(term: Record, words: Words) -> list[Note]:
    """Return what a term is called in a language, and what is said of it there."""
    notes = [Note("prefLabel", term["label"], words.asked)]
    if term["definition"]:
        notes.append(Note("definition", term["definition"], words.asked))
    for part in ("reference", "caution"):
        if term[part]:
            text = words.fill(f"vocabulary.{part}", text=term[part])
            notes.append(Note("note", text, words.asked))
    return notes


def translated_notes(study: str, chart: Record) -> Iterator[tuple[str, Note]]:
    """Yield the name of a concept and what is said of it in another language."""
    words = interface_words(chart["language"])
    left = {(each["tier"], each["id"]): each["parts"] for each in chart["untranslated"]}
    for class_ in chart["classes"]:
        for tier, group in (
            ("class", class_),
            *(("subclass", subclass) for subclass in class_["subclasses"]),
        ):
            if "label" not in left.get((tier, group["id"]), ()):
                label = Note("prefLabel", group["name"], chart["language"])
                yield concept_uri(study, tier, group["id"]), label
        for subclass in class_["subclasses"]:
            for term in subclass["terms"] + subclass["absorbed"]:
                uri = concept_uri(study, "term", term["id"])
                parts = left.get(("term", term["id"]), [])
                given = {**term, **dict.fromkeys(parts)}
                for note in wording_notes(given, words):
                    if note.text:
                        yield uri, note


def write_turtle(path: str | Path, graph: Any) -> None:
    """Write a graph as Turtle; the serialiser sorts subjects and predicates."""
    text = graph.serialize(format="turtle")
    write_text(path, text.rstrip("\n") + "\n")


def write_jsonld(path: str | Path, graph: Any) -> None:
    """Write a graph as JSON-LD with an inline context, subjects and values sorted."""
    from rdflib.namespace import RDF

    nodes: dict[str, Record] = {}
    for subject, predicate, value in sorted(graph):
        node = nodes.setdefault(str(subject), {"@id": str(subject)})
        if predicate == RDF.type:
            node.setdefault("@type", []).append(compact(value))
        else:
            node.setdefault(compact(predicate), []).append(plain(value))
    record = {"@context": CONTEXT, "@graph": list(nodes.values())}
    write_json(path, record)


def plain(value: Any) -> str | Record:
    """Return the object of a statement as JSON-LD has it."""
    from rdflib import Literal

    if not isinstance(value, Literal):
        return {"@id": str(value)}
    if value.language is None:
        return str(value)
    return {"@language": value.language, "@value": str(value)}


def compact(uri: object) -> str:
    """Shorten a URI by the prefixes of `CONTEXT`."""
    for prefix, namespace in CONTEXT.items():
        if str(uri).startswith(namespace):
            return f"{prefix}:{str(uri)[len(namespace) :]}"
    return str(uri)
