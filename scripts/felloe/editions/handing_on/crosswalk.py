"""The crosswalk between two editions: SKOS mappings from each older concept to a newer one."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from felloe.comparison.provisional_words import PROVISIONAL
from felloe.editions.correspondence import NO_CORRESPONDENCE
from felloe.editions.handing_on.crosswalk_words import CLASSES_BY, change_notes, class_note
from felloe.editions.linking.link_faults import same_wording
from felloe.editions.linking.links import (
    DECLARED,
    EXACT,
    MERGED,
    REDEFINED,
    RENAMED,
    RETIRED,
    SPLIT,
    Link,
    by_term,
)
from felloe.ground.files.tables import Row
from felloe.ground.files.writing import write_text
from felloe.ground.language_tags import ENGLISH
from felloe.report.hand_off.uris import concept_uri, scheme_uri

if TYPE_CHECKING:
    from rdflib import Graph, URIRef

PROPERTIES = {
    "exact": "exactMatch",
    "close": "closeMatch",
    "broad": "broadMatch",
    "narrow": "narrowMatch",
    "related": "relatedMatch",
}
ONE = "one to one"
MAPPINGS = {
    **dict.fromkeys((EXACT, RENAMED, REDEFINED), ONE),
    SPLIT: "narrow",
    MERGED: "broad",
    RETIRED: "related",
}


@dataclass(frozen=True)
class Scheme:
    """
    One edition as a concept scheme.

    Attributes
    ----------
    study, title, edition : str
    terms : dict of str to dict
        Term to its row of the study's table of terms.
    provisional : bool
        Whether the edition's chart is.
    language : str
        Tag of the language of title and labels.
    """

    study: str
    title: str
    edition: str
    terms: Mapping[str, Row]
    provisional: bool = False
    language: str = ENGLISH

    @classmethod
    def of(
        cls, about: Mapping[str, Any], terms: Sequence[Row], language: str = ENGLISH
    ) -> "Scheme":
        """Take an edition from the comparison's record, `older` or `newer`, and its terms."""
        names = (about["study"], about["title"], about["edition"])
        return cls(*names, by_term(terms), about["provisional"], language)


@dataclass(frozen=True)
class Mapped:
    """
    Where an older term leads in the newer edition.

    Attributes
    ----------
    term : str
    mapping : str
        A key of `PROPERTIES`.
    tier : {"term", "class"}
        What the target is.
    target : str
    """

    term: str
    mapping: str
    tier: str
    target: str


def term_mappings(
    older: Scheme, newer: Scheme, links: Sequence[Link], rows: Sequence[Row]
) -> Iterator[Mapped]:
    """
    Yield how each older term maps to the newer edition.

    A term whose definition stayed maps exactly, even under another name, and so does one that was
    declared exact; one that was defined anew maps closely. A split term maps to narrower terms,
    each merged one to the broader term. A retired term maps to the broader class that its own
    class became or is a part of, and nowhere if there is none; what to use instead is related.
    """
    home = {row["term"]: row["heir"] for row in rows if row["change"] == RETIRED}
    for link in links:
        mapping = MAPPINGS.get(link.relation)
        for was in link.older:
            if mapping == ONE:
                mapping = one_to_one_mapping(link, older.terms[was], newer.terms[link.newer[0]])
            for term in link.newer if mapping else ():
                yield Mapped(was, str(mapping), "term", term)
            if link.relation == RETIRED and home[was]:
                yield Mapped(was, "broad", "class", home[was])


def one_to_one_mapping(link: Link, was: Row, now: Row) -> str:
    """Return whether a term that is one to one means the same in both editions."""
    declared_exact = link.relation == EXACT and link.source == DECLARED
    same = link.relation != REDEFINED and same_wording(was, now)
    return "exact" if declared_exact or same else "close"


def claimed(row: Row, level: float) -> bool:
    """
    Return whether two classes are mapped.

    Related are those that share more terms than chance gives. All other mappings are of classes
    that correspond, or of a class that the comparison takes for a part of the other.
    """
    by_chance = row["relation"] == NO_CORRESPONDENCE or row["p"] > level
    return row["mapping"] != "related" or not by_chance


def build_graph(
    older: Scheme,
    newer: Scheme,
    links: Sequence[Link],
    rows: Sequence[Row],
    classes: Sequence[Row],
    level: float,
    marks: Sequence[str] = (),
) -> "Graph":
    """
    Build the crosswalk.

    Parameters
    ----------
    older, newer : Scheme
    links : sequence of Link
        Of every term of both.
    rows : sequence of dict
        The editions' `terms.csv`.
    classes : sequence of dict
        `classes` of the editions' `comparison.json`.
    level : float
        From which p on the terms that two classes share may be chance.
    marks : sequence of str
        What has to be said of the mappings before anybody uses them; a note of both schemes.

    Returns
    -------
    rdflib.Graph
    """
    from rdflib import SKOS, Graph, Literal

    graph = Graph()
    graph.bind("skos", SKOS)
    by = CLASSES_BY.format(level=level)
    for edition in (older, newer):
        add_scheme(graph, edition, by, marks)
    for term in older.terms:
        concept(graph, older, "term", term, older.terms[term]["label"])
    names = {row["newer"]: row["newer_name"] for row in classes}
    for found in term_mappings(older, newer, links, rows):
        is_class = found.tier == "class"
        label = names[found.target] if is_class else newer.terms[found.target]["label"]
        there = concept(graph, newer, found.tier, found.target, label)
        node = concept(graph, older, "term", found.term, older.terms[found.term]["label"])
        graph.add((node, SKOS[PROPERTIES[found.mapping]], there))
    for row in classes:
        node = concept(graph, older, "class", row["older"], row["older_name"])
        there = concept(graph, newer, "class", row["newer"], row["newer_name"])
        if claimed(row, level):
            graph.add((node, SKOS[PROPERTIES[row["mapping"]]], there))
            graph.add((node, SKOS.note, Literal(class_note(row, newer.edition), lang=ENGLISH)))
    for side, term, note, language in change_notes(rows, (older, newer)):
        edition = older if side == "older" else newer
        node = concept(graph, edition, "term", term, edition.terms[term]["label"])
        graph.add((node, SKOS.changeNote, Literal(note, lang=language)))
    return graph


def add_scheme(graph: "Graph", edition: Scheme, by: str, marks: Sequence[str]) -> None:
    """Add an edition's scheme, what its classes are mapped by, and what has to be said of it."""
    from rdflib import RDF, SKOS, Literal, URIRef

    scheme = URIRef(scheme_uri(edition.study))
    graph.add((scheme, RDF.type, SKOS.ConceptScheme))
    graph.add((scheme, SKOS.prefLabel, Literal(edition.title, lang=edition.language)))
    graph.add((scheme, SKOS.note, Literal(by, lang=ENGLISH)))
    for mark in [*marks, *([PROVISIONAL] if edition.provisional else [])]:
        graph.add((scheme, SKOS.editorialNote, Literal(mark, lang=ENGLISH)))


def concept(graph: "Graph", edition: Scheme, tier: str, identifier: str, label: str) -> "URIRef":
    """Add a concept to a graph, once, and return its name."""
    from rdflib import RDF, SKOS, Literal, URIRef

    node = URIRef(concept_uri(edition.study, tier, identifier))
    graph.add((node, RDF.type, SKOS.Concept))
    graph.add((node, SKOS.inScheme, URIRef(scheme_uri(edition.study))))
    graph.add((node, SKOS.prefLabel, Literal(label, lang=edition.language)))
    return node


def write_crosswalk(path: str | Path, graph: "Graph") -> None:
    """Write the crosswalk as Turtle, in an order of its own."""
    write_text(path, graph.serialize(format="turtle"))
