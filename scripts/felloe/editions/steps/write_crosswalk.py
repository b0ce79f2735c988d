"""Step: the mappings between the vocabularies of two editions."""

from felloe.editions.handing_on.crosswalk import Scheme, build_graph
from felloe.editions.handing_on.crosswalk import write_crosswalk as write_graph
from felloe.editions.linking.links import links_of
from felloe.editions.tables import LINKS, TERMS
from felloe.ground.files.records import read_json
from felloe.report.mark_words import PREVIEW
from felloe.validation.tables import TERMS as LEXICON


def main(
    *,
    comparison: str,
    terms: str,
    links: str,
    older_about: str,
    newer_about: str,
    older_terms: str,
    newer_terms: str,
    crosswalk: str,
) -> None:
    """Map every older term and class to the newer edition."""
    record = read_json(comparison)
    languages = [read_json(about)["language"] for about in (older_about, newer_about)]
    older = Scheme.of(record["older"], LEXICON.read(older_terms), languages[0])
    newer = Scheme.of(record["newer"], LEXICON.read(newer_terms), languages[1])
    marks = [PREVIEW] if record["preview"] else []
    told = links_of(LINKS.read(links)), TERMS.read(terms), record["classes"]
    level = record["correspondence"]["level"]
    write_graph(crosswalk, build_graph(older, newer, *told, level, marks))
