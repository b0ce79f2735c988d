"""Step: how each term of two editions stands to the other edition, declared or by its id."""

from collections.abc import Sequence

from felloe.editions.linking.link_faults import (
    FILE,
    MOST,
    Declared,
    Lexicons,
    link_faults,
    misspelt_studies,
)
from felloe.editions.linking.links import all_links, by_term, link_rows
from felloe.editions.linking.suggested import suggested_links
from felloe.editions.tables import LINKS, SUGGESTED, suggested_rows
from felloe.errors import StudyError
from felloe.validation.canonical import faults_listed
from felloe.validation.tables import CROSSWALK
from felloe.validation.tables import TERMS as LEXICON


def main(
    *,
    older_terms: str,
    newer_terms: str,
    crosswalk: str,
    links: str,
    suggested: str,
    older: str,
    newer: str,
    faults: str,
    source: str = FILE,
    studies: Sequence[str] = (),
) -> None:
    """Hold the newer study's crosswalk against the older one; link every term; propose more."""
    terms = by_term(LEXICON.read(older_terms)), by_term(LEXICON.read(newer_terms))
    lexicons = Lexicons(*terms, older, newer, source)
    rows = CROSSWALK.read(crosswalk)
    declared = Declared.of(rows, older)
    misspelt = misspelt_studies(rows, studies, newer, lexicons.crosswalk)
    with faults_listed(faults, MOST):
        if found := [*misspelt, *link_faults(lexicons, declared)]:
            raise StudyError(found)
    linked = all_links(lexicons.older, lexicons.newer, [each.link for each in declared])
    proposed = suggested_links(lexicons.older, lexicons.newer, linked)
    LINKS.write(links, link_rows(linked))
    SUGGESTED.write(suggested, suggested_rows(proposed))
    print(f"{len(declared)} row(s) of crosswalk.csv, {len(proposed)} more proposed")


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
