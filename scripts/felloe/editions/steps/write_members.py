"""Step: what became of every older word, for members: a page, a table and a workbook."""

from felloe.editions.handing_on.members import Between, rows_told
from felloe.editions.handing_on.members_page import Head, members_page
from felloe.editions.handing_on.members_workbook import members_workbook
from felloe.editions.linking.links import by_term, links_of
from felloe.editions.tables import LINKS, MEMBERS, TERMS
from felloe.ground.files.records import read_json
from felloe.ground.files.writing import write_bytes, write_text
from felloe.report.languages.language_words import interface_words
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
    page: str,
    members: str,
    workbook: str,
) -> None:
    """Tell every older word in the language of the newer study."""
    record, was, now = (read_json(path) for path in (comparison, older_about, newer_about))
    words = interface_words(now["language"])
    if words.notice:
        print(words.notice)
    between = Between(
        by_term(LEXICON.read(older_terms)),
        by_term(LEXICON.read(newer_terms)),
        links_of(LINKS.read(links)),
        TERMS.read(terms),
        record["classes"],
        words,
    )
    provisional = record["older"]["provisional"] or record["newer"]["provisional"]
    told = {"provisional": provisional, "preview": record["preview"]}
    marks = [words[f"marks.{key}"] for key, holds in told.items() if holds]
    editions = was["edition"], now["edition"]
    head = Head(now["title"], now["language"], was["language"], *editions, marks)
    ways, new = between.told(), between.new_words()
    MEMBERS.write(members, rows_told(ways))
    write_text(page, members_page(head, ways, new, words))
    spoken = words.fill("members.between", older=editions[0], newer=editions[1])
    title = f"{words['members.title']}: {spoken}"
    write_bytes(workbook, members_workbook(title, ways, new, words, marks))
