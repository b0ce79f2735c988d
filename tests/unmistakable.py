"""A study of people, piles and pickers whose names are like nothing else in it."""

import csv

from small_study import RESPONDENTS, write_small_study
from study_folder import write_rows

PEOPLE = [f"zebrafinch-{at:02d}" for at in range(1, 20)]
PICKERS = [f"Bowerbird {at}" for at in range(1, 10)]
PILES, NICK = "quagga", "heron"
OWN_WORD, COMMON_WORD = "okapi", "hearth"  # what one person called a pile, and what all did
FEW_PICKED = ("#13579b", "#a1b2c3")  # of the one term for which two people picked
ABSENT = "zebrafinch-77"  # was given a set and did not come
PLACES = ("--configfile", "small.yaml", "--directory", ".")


def minutes(at):
    return f"{137.7301 + 3.0017 * at:.4f}"


def read(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.reader(stream))


def write_unmistakable_study(folder):
    """Write the small study with people, piles and pickers that are like nothing else in it."""
    write_small_study(folder)
    header, *people = read(folder / "participants.csv")
    twin = ["zebrafinch-19", "makers"]  # sent what somebody of the panel sent
    rows = [
        [f"zebrafinch-{at:02d}", population, minutes(at), f"{NICK}-{at}"]
        for at, (_, population, _) in enumerate([*people, [*twin, ""]], start=1)
    ]
    rows[0][2] = "1777.3701"  # longer than a day, which is noted
    write_rows(folder / "participants.csv", [[*header, "nickname"], *rows])
    header, *sorts = read(folder / "sorts.csv")
    sorts = [[who.replace("somebody", "zebrafinch"), *rest] for who, *rest in sorts]
    sorts += [[twin[0], *rest] for who, *rest in sorts if who == "zebrafinch-02"]
    for row in sorts:
        if row[0] == "zebrafinch-03":  # one writes names, another numbers in two ways
            row[2] = row[2] and f"{PILES} heap {row[2]}"
        elif row[0] == "zebrafinch-04":
            row[2] = f"00{row[2]}"
    write_rows(folder / "sorts.csv", [header, *sorts])
    write_own_words(folder, sorts)
    (folder / "zebrafinch-03.txt").write_text("what zebrafinch-03 said", encoding="utf-8")
    header, *picks = read(folder / "colours.csv")
    renamed = dict(zip(RESPONDENTS, PICKERS, strict=True))
    picks = [[term, renamed[who], colour] for term, who, colour in picks]
    picks += [["elm", who, colour] for who, colour in zip(PICKERS, FEW_PICKED, strict=False)]
    write_rows(folder / "colours.csv", [header, *picks])


def write_own_words(folder, sorts):
    """Write what everybody called the pile of theirs that comes last."""
    piles = {who: pile for who, _, pile, *_ in sorts if pile}
    said = [[who, pile, f"{OWN_WORD}-{who[-2:]}; {COMMON_WORD}"] for who, pile in piles.items()]
    write_rows(folder / "pile_words.csv", [["participant", "pile", "words"], *said])


def people_words():
    return [
        *PEOPLE,
        ABSENT,
        *PICKERS,
        PILES,
        NICK,
        OWN_WORD,
        *(minutes(at) for at in range(1, 20)),
        "1777.3701",
    ]


def write_unmistakable_parts(folder):
    """Write the same people, each of whom was shown a part: one set is the only one of its size."""
    write_unmistakable_study(folder)
    terms = [term for term, *_ in read(folder / "terms.csv")[1:]]
    left_out = {who: set_aside(at, terms) for at, who in enumerate(PEOPLE)}
    left_out[PEOPLE[18]] = left_out[PEOPLE[1]]  # who sent the same was shown the same
    left_out[PEOPLE[6]] = set(terms[1::2])
    _, *people = read(folder / "participants.csv")
    header, *sorts = read(folder / "sorts.csv")
    shown = [row for row in sorts if row[1] not in left_out[row[0]]]
    write_rows(folder / "sorts.csv", [header, *shown])
    write_own_words(folder, shown)
    design = [[who, term] for who, *_ in people for term in terms if term not in left_out[who]]
    design += [[ABSENT, term] for term in terms[:9]]
    write_rows(folder / "design.csv", [["participant", "term"], *design])


def set_aside(at, terms):
    """Return the three of the terms that the person of a number was not shown."""
    return {terms[(5 * at + 4 * step + at // len(terms)) % len(terms)] for step in range(3)}
