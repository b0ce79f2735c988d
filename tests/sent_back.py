"""People of the small study answer their kits: in every form that an answer can have."""

import csv
import json

from kit_pages import in_hand, saved, started
from openpyxl import load_workbook
from return_oracle import hash_by_definition, text_by_definition
from small_study import ABSENT_TERM, PEOPLE, STUDY, TERMS, sorts

HASH = hash_by_definition({term: label for term, (label, *_) in TERMS.items()})
NUMBERS = {person: at for at, person in enumerate(PEOPLE)}
LABELS = {label: term for term, (label, *_) in TERMS.items()}
CALLED = ("Timber", "=Roots", "Spice")  # what people call piles; a spreadsheet would run the second
ONE_PERSONS = "my own cellar"


def sort_of(person):
    """Return the piles of a person by number, and the words that they do not know."""
    piles, unknown = {}, []
    for who, term, pile, _ in sorts():
        if who == person and pile == "":
            unknown.append(term)
        elif who == person:
            piles.setdefault(pile, []).append(term)
    assert bool(unknown) == (person == ABSENT_TERM)
    return piles, unknown


def words_of(person, pile):
    """Return what a person calls a pile."""
    own = f"; {ONE_PERSONS}" if NUMBERS[person] == 3 and pile == 1 else ""
    return f"{CALLED[(pile - 1) % 3]}{own}"


def minutes_of(person):
    return 21.5 + NUMBERS[person]


def saved_sort(person):
    """Return what the page saves, written by hand."""
    piles, unknown = sort_of(person)
    told = [{"words": words_of(person, pile), "terms": terms} for pile, terms in piles.items()]
    answer = {"piles": told, "unknown": unknown, "unplaced": [], "minutes": minutes_of(person)}
    return json.dumps({**head("sort", person), **answer}, ensure_ascii=False)


def head(kind, person):
    """Return whose answer it is, as the page writes it."""
    return {
        "form": "felloe-return-1",
        "kind": kind,
        "study": STUDY,
        "edition": "2031",
        "participant": person,
        "terms": HASH,
        "language": "en",
        "saved": f"2031-05-{1 + NUMBERS[person]:02d}T10:00:00Z",
    }


def mail(record):
    """Return a mail that quotes the text to copy, as mail programs do."""
    quoted = text_by_definition(record.encode()).replace("\n", "\r\n> ")
    return f"Dear all,\r\nhere it is = at last.\r\n\r\nYou wrote:\r\n> {quoted}\r\n>\r\n"


def fill_in(path, person, to):
    """Fill in the spreadsheet of a person and save it."""
    book, (piles, unknown) = load_workbook(path), sort_of(person)
    pile_of = {term: pile for pile, terms in piles.items() for term in terms}
    for row in book["cards"].iter_rows():
        term = LABELS.get(row[1].value)
        if term in unknown:
            row[3].value = "x"
        elif term:
            row[2].value = pile_of[term]
    for row in book["piles"].iter_rows(min_row=2):
        if row[0].value in piles:
            row[2].value = words_of(person, row[0].value).lstrip("=")
    book.save(to)


def tally(order, person):
    """Return the rows that somebody types from the paper of a person."""
    piles, unknown = sort_of(person)
    pile_of = {term: pile for pile, terms in piles.items() for term in terms}
    pile_of |= dict.fromkeys(unknown, "?")
    rows = []
    for card, term in enumerate(order, start=1):
        pile = pile_of[term]
        words = "" if pile == "?" else words_of(person, pile)
        rows.append([STUDY, person, HASH[:8], card, pile, words])
    return rows


def write_tally(path, orders):
    """Type the paper of several people into one table."""
    with open(path, "w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(["study", "participant", "terms", "card", "pile", "words"])
        for person, order in orders.items():
            writer.writerows(tally(order, person))


def sort_on_screen(browser, path, person):
    """Sort on the page with the keyboard; return the file that it saves."""
    piles, unknown = sort_of(person)
    pile_of = {term: pile for pile, terms in piles.items() for term in terms}
    made = []  # piles are numbered as they come
    with started(browser, path) as page:
        for _ in TERMS:
            term = LABELS[in_hand(page)]
            pile = pile_of.get(term)
            if term in unknown:
                page.keyboard.press("?")
            elif pile in made:
                page.keyboard.press(str(made.index(pile) + 1))
            else:
                page.keyboard.press("0")  # a new pile
                made.append(pile)
        for number, pile in enumerate(made, start=1):
            page.fill(f'[data-words="{number}"]', words_of(person, pile))
        return saved(page)


def colour_of(person, term):
    """Return the colour that a person picks for a term."""
    return (
        f"#{40 + 60 * TERMS[term][1]:02x}{120 - 3 * NUMBERS[person]:02x}{60 + NUMBERS[person]:02x}"
    )


def saved_colours(person, terms):
    """Return what the colour page saves, written by hand; for the last term none fits."""
    *picked, none = terms
    picks = {term: colour_of(person, term) for term in picked}
    answer = {"picks": picks, "unknown": [none], "unplaced": []}
    return json.dumps({**head("colours", person), **answer})


def fill_in_colours(path, person, to):
    """Type colours into the spreadsheet of a person and save it; none for the last term."""
    book = load_workbook(path)
    cells = [row for row in book["cards"].iter_rows() if row[1].value in LABELS]
    for row in cells[:-1]:
        row[2].value = colour_of(person, LABELS[row[1].value])
    book.save(to)
    return [LABELS[row[1].value] for row in cells]
