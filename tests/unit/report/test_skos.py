"""The vocabulary as SKOS: the same tiers come back, and the scheme keeps SKOS's own conditions."""

import warnings

import pytest
from felloe.report.chart import chart_terms
from felloe.report.hand_off.uris import concept_uri, scheme_uri
from felloe.report.hand_off.vocabulary import vocabulary_graph, write_jsonld, write_turtle
from felloe.report.languages.translation import translated
from rdflib import Graph, URIRef
from rdflib.compare import isomorphic
from rdflib.namespace import DCTERMS, RDF, SKOS
from test_chart import chart_of


def read_graph(path):
    """Read Turtle or JSON-LD with rdflib, a general RDF library."""
    kind = "json-ld" if path.suffix == ".jsonld" else "turtle"
    with warnings.catch_warnings():
        # rdflib's own JSON-LD parser still uses a class that rdflib calls deprecated
        warnings.simplefilter("ignore", DeprecationWarning)
        return Graph().parse(str(path), format=kind)


def read_tiers(path):
    """Return the notations of (class, subclass, term) in a vocabulary, sorted."""
    graph = read_graph(path)
    rows = []
    for term in graph.subjects(RDF.type, SKOS.Concept):
        chain = [term]
        while (above := graph.value(chain[-1], SKOS.broader)) is not None and len(chain) < 4:
            chain.append(above)
        if len(chain) == 3:
            rows.append(tuple(str(graph.value(each, SKOS.notation)) for each in reversed(chain)))
    return sorted(rows)


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    words = ("salt & brine", 'a "quoted" <b>word</b>', "crème fraîche", "うま味", "back\\slash")
    return chart_of(tmp_path_factory.mktemp("skos"), n_terms=40, words=words)


@pytest.fixture(scope="module")
def written(chart, tmp_path_factory):
    folder = tmp_path_factory.mktemp("vocabulary")
    graph = vocabulary_graph("guild", chart)
    write_turtle(folder / "vocabulary.ttl", graph)
    write_jsonld(folder / "vocabulary.jsonld", graph)
    return folder


@pytest.mark.parametrize("name", ["vocabulary.ttl", "vocabulary.jsonld"])
def test_the_same_tiers_come_back(chart, written, name):
    tiers = sorted((c["id"], s["id"], t["id"]) for c, s, t in chart_terms(chart, True))
    assert read_tiers(written / name) == tiers


def test_turtle_and_json_ld_are_the_same_graph(written):
    # rdflib, a general RDF library, parses both
    turtle, jsonld = (read_graph(written / f"vocabulary.{kind}") for kind in ("ttl", "jsonld"))
    assert isomorphic(turtle, jsonld)


def test_the_file_is_the_graph_that_was_meant(chart, written):
    assert isomorphic(read_graph(written / "vocabulary.ttl"), vocabulary_graph("guild", chart))


@pytest.mark.parametrize("name", ["vocabulary.ttl", "vocabulary.jsonld"])
def test_writing_twice_gives_the_same_bytes(chart, written, tmp_path, name):
    write = write_turtle if name.endswith("ttl") else write_jsonld
    write(tmp_path / name, vocabulary_graph("guild", chart))
    assert (tmp_path / name).read_bytes() == (written / name).read_bytes()


@pytest.fixture(scope="module")
def labels(chart):
    """German for three terms in four and for every class, French for one term."""
    empty = {"definition": "", "reference": "", "caution": ""}
    terms = [term["id"] for _, _, term in chart_terms(chart, True)]
    rows = [
        {"id": name, "tier": "term", "language": "de", "label": f"Wort {at}", **empty}
        for at, name in enumerate(terms)
        if at % 4
    ]
    rows[0] |= {"definition": "Was es ist.", "reference": "Ein Stück.", "caution": "Keine."}
    rows += [
        {"id": class_["id"], "tier": "class", "language": "de", "label": f"Klasse {at}", **empty}
        for at, class_ in enumerate(chart["classes"])
    ]
    return [*rows, {**rows[0], "language": "fr", "label": "mot"}]


@pytest.fixture(scope="module")
def in_three(chart, labels, tmp_path_factory):
    """The vocabulary in English, German and French, as written."""
    folder = tmp_path_factory.mktemp("languages")
    further = [translated(chart, labels, language) for language in ("de", "fr")]
    graph = vocabulary_graph("guild", chart, further)
    write_turtle(folder / "vocabulary.ttl", graph)
    write_jsonld(folder / "vocabulary.jsonld", graph)
    return folder


@pytest.mark.parametrize("name", ["vocabulary.ttl", "vocabulary.jsonld"])
def test_a_concept_has_at_most_one_preferred_label_per_language(in_three, name):
    # SKOS Reference (W3C 2009), integrity condition S14
    graph = read_graph(in_three / name)
    for concept in graph.subjects(RDF.type, SKOS.Concept):
        languages = [label.language for label in graph.objects(concept, SKOS.prefLabel)]
        assert len(languages) == len(set(languages))
        assert "en" in languages
        assert set(languages) <= {"en", "de", "fr"}


def test_preferred_labels_are_those_that_were_given(chart, labels, in_three):
    graph = read_graph(in_three / "vocabulary.ttl")
    made = {
        (str(concept), label.language, str(label))
        for concept, label in graph.subject_objects(SKOS.prefLabel)
        if label.language != "en"
    }
    given = {
        (concept_uri("guild", row["tier"], row["id"]), row["language"], row["label"])
        for row in labels
    }
    anchors = {  # a proposal is called as the term that stands in
        (concept_uri("guild", "subclass", sub["id"]), row["language"], row["label"])
        for class_ in chart["classes"]
        for sub in class_["subclasses"]
        for row in labels
        if sub["name_is_proposal"] and (row["tier"], row["id"]) == ("term", sub["anchor"])
    }
    assert made == given | anchors


def test_a_text_that_falls_back_is_never_tagged_as_a_translation(labels, in_three):
    graph = read_graph(in_three / "vocabulary.ttl")
    german = {str(text) for text in graph.objects() if getattr(text, "language", None) == "de"}
    assert german == {row["label"] for row in labels if row["language"] == "de"} | {
        "Was es ist.", "Referenz: Ein Stück.", "Warnhinweis: Keine.",
    }  # fmt: skip


def test_every_text_has_the_tag_of_its_language(in_three):
    graph = read_graph(in_three / "vocabulary.ttl")
    kinds = (SKOS.prefLabel, SKOS.definition, SKOS.note, SKOS.editorialNote, SKOS.changeNote)
    texts = [text for kind in (*kinds, DCTERMS.title) for text in graph.objects(None, kind)]
    assert len(texts) > 100
    assert {text.language for text in texts} == {"en", "de", "fr"}
    assert {text.language for text in graph.objects(None, SKOS.notation)} == {None}


def test_translations_in_turtle_and_json_ld_are_the_same_graph(in_three):
    turtle, jsonld = (read_graph(in_three / f"vocabulary.{kind}") for kind in ("ttl", "jsonld"))
    assert isomorphic(turtle, jsonld)


def test_a_study_in_german_is_tagged_so_and_told_in_german(chart):
    graph = vocabulary_graph("guild", {**chart, "language": "de-AT"})
    assert {label.language for label in graph.objects(None, SKOS.prefLabel)} == {"de-AT"}
    assert {text.language for text in graph.objects(None, SKOS.definition)} == {"de-AT"}
    notes = {str(note) for note in graph.objects(None, SKOS.note)}
    assert any(note.startswith("Warnhinweis: ") for note in notes)
    told = {(str(text), text.language) for text in graph.objects(None, SKOS.editorialNote)}
    assert ("Status: gesichert", "de") in told


def test_nothing_is_broader_than_itself(written):
    # acyclic although SKOS S24 does not demand it: a tier chart with a cycle would be no chart
    graph = read_graph(written / "vocabulary.ttl")
    for concept in graph.subjects(RDF.type, SKOS.Concept):
        above = list(graph.transitive_objects(concept, SKOS.broader))
        assert above.count(concept) == 1
        assert (concept, SKOS.broader, concept) not in graph


def test_broader_and_narrower_are_each_others_inverse(written):
    # SKOS Reference, S25
    graph = read_graph(written / "vocabulary.ttl")
    up = set(graph.subject_objects(SKOS.broader))
    assert up == {(low, high) for high, low in graph.subject_objects(SKOS.narrower)}


def test_top_concepts_are_the_classes(chart, written):
    # SKOS Reference, S8: topConceptOf is the inverse of hasTopConcept
    graph = read_graph(written / "vocabulary.ttl")
    tops = set(graph.subjects(SKOS.topConceptOf))
    assert tops == set(graph.objects(None, SKOS.hasTopConcept))
    assert {str(graph.value(top, SKOS.notation)) for top in tops} == {
        class_["id"] for class_ in chart["classes"]
    }


def test_concepts_and_schemes_are_disjoint(written):
    # SKOS Reference, S9
    graph = read_graph(written / "vocabulary.ttl")
    concepts = set(graph.subjects(RDF.type, SKOS.Concept))
    assert concepts.isdisjoint(graph.subjects(RDF.type, SKOS.ConceptScheme))


def test_cautions_travel_with_their_references(chart, written):
    graph = read_graph(written / "vocabulary.ttl")
    notes = [str(note) for note in graph.objects(None, SKOS.note)]
    count = sum(1 for _ in chart_terms(chart, True))
    assert sum(note.startswith("Caution: ") for note in notes) == count
    assert sum(note.startswith("Reference: ") for note in notes) == count


@pytest.mark.parametrize("provisional", [True, False])
def test_a_provisional_vocabulary_says_so(chart, provisional):
    # SKOS Reference, section 7.1: editorialNote is for those who look after a vocabulary (memory)
    graph = vocabulary_graph("guild", {**chart, "provisional": provisional})
    notes = [str(note) for note in graph.objects(URIRef(scheme_uri("guild")), SKOS.editorialNote)]
    assert [note.startswith("PROVISIONAL") for note in notes] == [True] * provisional


@pytest.mark.parametrize(("language", "start"), [("en", "PROVISIONAL"), ("de-AT", "VORLÄUFIG")])
def test_a_mark_is_in_the_language_of_the_study(chart, language, start):
    graph = vocabulary_graph("guild", {**chart, "provisional": True, "language": language})
    (note,) = graph.objects(URIRef(scheme_uri("guild")), SKOS.editorialNote)
    assert note.startswith(f"{start}: ")
    assert note.language == language.split("-")[0]


def test_a_decision_quotes_the_label_of_the_word_it_put_another_beside(chart):
    labels = {term["id"]: term["label"] for *_, term in chart_terms(chart, True)}
    moved = [term for *_, term in chart_terms(chart, True) if term["decision"]]
    assert moved
    graph = vocabulary_graph("guild", chart)
    for term in moved:
        (note,) = graph.objects(URIRef(concept_uri("guild", "term", term["id"])), SKOS.changeNote)
        beside = term["decision"]["beside"]
        assert labels[beside] != beside
        assert note.startswith(f"Placed beside {labels[beside]}: ")
