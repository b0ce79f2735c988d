"""One study gives the same canonical bytes however it was handed in; what was changed is noted."""

import unicodedata
from datetime import date

import pytest
from felloe.validation.intake.study import read_study
from felloe.validation.received import read_received
from felloe.validation.tables import TERMS as TERMS_TABLE
from openpyxl import Workbook
from study_folder import (
    LIMITS,
    PEOPLE,
    TERMS,
    canonical,
    faults_of,
    long_rows,
    pile_of,
    reference_rows,
    reference_study,
    settings_text,
    tables,
    wide_rows,
    with_cell,
    write_folder,
    write_rows,
)


def without_positions(rows):
    return [row[:3] for row in rows]


def spreadsheet(folder, rows, numbers=True):
    """Put the sorts into a spreadsheet instead of the CSV; piles as numbers or as text."""
    (folder / "sorts.csv").unlink()
    book = Workbook()
    for row in rows:
        book.active.append([int(text) if numbers and text.isdigit() else text for text in row])
    book.save(folder / "sorts.xlsx")
    return folder


def rewritten(folder, **how):
    for name, rows in tables().items():
        write_rows(folder / name, without_positions(rows) if name == "sorts.csv" else rows, **how)
    return folder


@pytest.fixture
def plain(tmp_path):
    """Return the canonical bytes of the study in the long layout, without positions."""
    folder = write_folder(tmp_path / "plain", {"sorts.csv": without_positions(long_rows())})
    return canonical(folder, tmp_path / "plain.out")


WAYS = {
    "semicolons": lambda folder: rewritten(folder, delimiter=";"),
    "line ends of CR LF": lambda folder: rewritten(folder, newline="\r\n"),
    "line ends of CR": lambda folder: rewritten(folder, newline="\r"),
    "a byte-order mark": lambda folder: rewritten(folder, encoding="utf-8-sig"),
}


@pytest.mark.parametrize("way", WAYS)
def test_a_study_gives_the_same_bytes_with(way, tmp_path, plain):
    folder = WAYS[way](write_folder(tmp_path / "other"))
    assert canonical(folder, tmp_path / "out") == plain


def test_the_wide_layout_gives_the_same_bytes(tmp_path, plain):
    folder = write_folder(tmp_path / "other", {"sorts.csv": wide_rows()}, layout="wide")
    assert canonical(folder, tmp_path / "out") == plain


@pytest.mark.parametrize("numbers", [True, False])
def test_a_spreadsheet_in_the_long_layout_gives_the_same_bytes(numbers, tmp_path, plain):
    folder = spreadsheet(write_folder(tmp_path / "s"), without_positions(long_rows()), numbers)
    assert canonical(folder, tmp_path / "out") == plain


def test_a_spreadsheet_in_the_wide_layout_gives_the_same_bytes(tmp_path, plain):
    folder = spreadsheet(write_folder(tmp_path / "s", layout="wide"), wide_rows())
    assert canonical(folder, tmp_path / "out") == plain


def test_a_spreadsheet_with_blank_rows_above_and_between_gives_the_same_bytes(tmp_path, plain):
    rows = without_positions(long_rows())
    rows = [[""], rows[0], *rows[1:5], ["", " "], *rows[5:]]
    folder = spreadsheet(write_folder(tmp_path / "s"), rows)
    assert canonical(folder, tmp_path / "out") == plain


def test_the_order_of_rows_and_columns_does_not_matter(tmp_path, plain):
    changed = {name: [rows[0], *rows[:0:-1]] for name, rows in tables().items()}
    changed["sorts.csv"] = [row[2::-1] for row in changed["sorts.csv"]]
    assert canonical(write_folder(tmp_path / "s", changed), tmp_path / "out") == plain


def test_the_numbering_of_piles_does_not_matter(tmp_path, plain):
    names = {"1": "herbs", "2": "7", "3": "pile 3"}
    rows = [[*row[:2], names.get(row[2], row[2])] for row in long_rows()]
    assert canonical(write_folder(tmp_path / "s", {"sorts.csv": rows}), tmp_path / "out") == plain


def test_piles_written_with_decimals_are_whole_numbers(tmp_path, plain):
    rows = [[*row[:2], row[2] + ".0" if row[2].isdigit() else row[2]] for row in long_rows()]
    folder = write_folder(tmp_path / "s", {"sorts.csv": rows})
    assert canonical(folder, tmp_path / "out") == plain
    assert "'1.0' were read as '1'" in messages(folder)


@pytest.mark.parametrize("blank", [" ", "\u00a0", "\u2003", "\u200b", "\ufeff", "\t"])
def test_blanks_around_cells_are_trimmed_and_noted(blank, tmp_path, plain):
    rows = [[blank + cell + blank for cell in row[:3]] for row in long_rows()]
    folder = write_folder(tmp_path / "s", {"sorts.csv": rows})
    assert canonical(folder, tmp_path / "out") == plain
    for column in ("participant", "term", "pile"):
        assert f"{column}: 48 cell(s) of this column were trimmed of blanks" in messages(folder)


def test_unicode_is_composed_and_noted(tmp_path):
    composed, decomposed = (write_folder(tmp_path / name) for name in ("nfc", "nfd"))
    for folder, form in ((composed, "NFC"), (decomposed, "NFD")):
        rows = tables()["terms.csv"]
        rows[1][1] = unicodedata.normalize(form, "Salzlake für Möhren")
        write_rows(folder / "terms.csv", rows)
    assert canonical(composed, tmp_path / "a") == canonical(decomposed, tmp_path / "b")
    assert "label: 1 cell(s) of this column were composed (Unicode NFC)" in messages(decomposed)


def messages(folder):
    study = read_study(folder, LIMITS)
    return "\n".join(f"{note.column}: {note.problem}" for note in study.findings)


@pytest.mark.parametrize(("delimiter", "words"), [(",", "commas"), (";", "semicolons")])
def test_the_separator_that_was_found_is_reported(delimiter, words, tmp_path):
    folder = write_folder(tmp_path / "s")
    write_rows(folder / "sorts.csv", long_rows(), delimiter=delimiter)
    assert f"48 row(s) under the header, cells separated by {words}" in messages(folder)


def test_positions_reach_the_canonical_sorts(tmp_path):
    out = tmp_path / "out"
    canonical(write_folder(tmp_path / "s"), out)
    received = read_received(out / "sorts.csv", out / "register.csv")
    seen = dict(zip(received.sorts.participants, received.positions.tolist(), strict=True))
    assert seen["p0"] == [1, 2, 3, 4, 5, 6]
    assert seen["p2"] == [3, 4, 5, 6, 1, 2]


def test_the_canonical_sorts_hold_the_partitions_that_were_handed_in(tmp_path):
    out = tmp_path / "out"
    canonical(write_folder(tmp_path / "s"), out)
    sorts = read_received(out / "sorts.csv", out / "register.csv").sorts
    for person, piles in zip(sorts.participants, sorts.piles.tolist(), strict=True):
        for i, a in enumerate(TERMS):
            for j, b in enumerate(TERMS):
                assert (piles[i] == piles[j]) == (pile_of(person, a) == pile_of(person, b))


def test_piles_are_numbered_by_first_appearance_in_the_order_of_terms(tmp_path):
    out = tmp_path / "out"
    rows = [row[:3] for row in long_rows()]
    rows[1:7] = [
        ["p0", term, pile] for term, pile in zip(TERMS, "9 4 9 7 4 7".split(), strict=True)
    ]
    canonical(write_folder(tmp_path / "s", {"sorts.csv": rows}), out)
    sorts = read_received(out / "sorts.csv", out / "register.csv").sorts
    row = sorts.participants.index("p0")
    assert sorts.piles[row].tolist() == [1, 2, 1, 3, 2, 3]


def test_an_empty_pile_is_missing_and_noted_and_never_apart(tmp_path):
    out = tmp_path / "out"
    rows = [row[:3] for row in long_rows()]
    rows[2][2] = ""
    folder = write_folder(tmp_path / "s", {"sorts.csv": rows})
    canonical(folder, out)
    sorts = read_received(out / "sorts.csv", out / "register.csv").sorts
    assert sorts.piles[sorts.participants.index("p0"), 1] == -1
    problem = "a participant did not place 1 of 6 terms"
    found = [note.value for note in read_study(folder, LIMITS).findings if note.problem == problem]
    assert found == ["p0"]
    assert "the term 'crisp' was not placed by 1 participant(s)" in messages(folder)


def test_a_time_of_more_than_a_day_is_noted_and_not_repeated(tmp_path):
    folder = write_folder(tmp_path / "s")
    with_cell("participants.csv", 3, "minutes", "1800")(folder)
    found = [note for note in read_study(folder, LIMITS).findings if note.column == "minutes"]
    assert [(note.severity, note.line) for note in found] == [("warning", 3)]
    assert "1800" not in found[0].problem


def test_widths_of_sectors_are_written_as_numbers_and_read_back(tmp_path):
    out = tmp_path / "out"
    widths = ["width", "1", "2.50", "", "1", "1", "1"]
    rows = [[*row, width] for row, width in zip(tables()["terms.csv"], widths, strict=True)]
    canonical(write_folder(tmp_path / "s", {"terms.csv": rows}), out)
    again = TERMS_TABLE.read(out / "terms.csv")
    assert [str(row["width"]) for row in again] == ["1.0", "2.5", "nan", "1.0", "1.0", "1.0"]
    TERMS_TABLE.write(tmp_path / "again.csv", again)
    assert (tmp_path / "again.csv").read_bytes() == (out / "terms.csv").read_bytes()


def test_quoted_cells_may_hold_separators_quotes_and_line_ends(tmp_path):
    rows = tables()["terms.csv"]
    rows[1][2] = 'salt, water\nand "time"; nothing else'
    study = read_study(write_folder(tmp_path / "s", {"terms.csv": rows}), LIMITS)
    assert study.terms[0]["definition"] == rows[1][2]


def test_the_kinship_sorts_pass_through_unchanged(tmp_path):
    # 85 published sorts of 15 terms (Rosenberg & Kim 1975; SOURCES.md), nobody and nothing lost
    rows = reference_rows("data/kinship_women_single_sorts_long.csv")
    out = tmp_path / "out"
    canonical(reference_study(tmp_path / "s", rows, "women"), out)
    sorts = read_received(out / "sorts.csv", out / "register.csv").sorts
    piles = {(row["participant"].lower(), row["term"]): row["pile"] for row in rows}
    assert sorts.piles.shape == (85, 15)
    for person, numbers in zip(sorts.participants, sorts.piles.tolist(), strict=True):
        raw = [piles[person, term] for term in sorts.terms]
        renumbered = list(dict.fromkeys(raw))
        assert numbers == [renumbered.index(pile) + 1 for pile in raw]


def test_the_published_long_and_wide_kinship_tables_give_the_same_bytes(tmp_path):
    rows = reference_rows("data/kinship_women_single_sorts_long.csv")
    long = reference_study(tmp_path / "long", rows, "women")
    wide = reference_study(tmp_path / "wide", rows, "women")
    (wide / "study.yaml").write_text(
        (long / "study.yaml").read_text() + "sorts_layout: wide\n", encoding="utf-8"
    )
    table = reference_rows("data/kinship_women_single_sorts_wide.csv")
    cells = [[row["participant"].lower(), *list(row.values())[1:]] for row in table]
    write_rows(wide / "sorts.csv", [list(table[0]), *cells])
    assert canonical(long, tmp_path / "a") == canonical(wide, tmp_path / "b")


def test_the_complete_wallpaper_sorts_pass(tmp_path):
    # P31M is complete: 33 people, 20 cards (Kohler, Vedak & Gilmore 2022; SOURCES.md)
    rows = reference_rows("data/wallpaper_P31M_sorts_long.csv")
    study = read_study(reference_study(tmp_path / "s", rows), LIMITS)
    assert study.piles.shape == (33, 20)
    assert (study.piles > 0).all()


def test_the_faults_of_the_wallpaper_sorts_are_all_reported_and_no_others(tmp_path):
    # SOURCES.md: W07 has 05 twice and 15 missing, W20 has 13 twice, W32 lacks 03 and 08
    rows = reference_rows("data/wallpaper_P6_sorts_long.csv")
    faults = faults_of(reference_study(tmp_path / "s", rows))
    found = {(fault.problem.split(" (")[0], fault.value) for fault in faults}
    assert found == {
        ("participant 'w07' sorted 'p6_05' twice", "p6_05"),
        ("participant 'w07' has no row for 'p6_15'", "p6_15"),
        ("participant 'w20' sorted 'p6_13' twice", "p6_13"),
        ("participant 'w32' has no row for 'p6_03'", "p6_03"),
        ("participant 'w32' has no row for 'p6_08'", "p6_08"),
    }
    assert len(faults) == 5


@pytest.mark.parametrize("name", ["P6", "P31M"])
def test_the_published_pair_indices_follow_from_the_piles(name):
    # the authors' index: piles that hold both cards over piles that hold either (SOURCES.md)
    holders = {}
    for row in reference_rows(f"data/wallpaper_{name}_sorts_long.csv"):
        holders.setdefault(row["item"], set()).add((row["participant"], row["pile"]))
    published = reference_rows(f"data/wallpaper_{name}_published_jaccard.csv")
    assert len(published) == 190
    for row in published:
        a, b = holders[row["item_a"]], holders[row["item_b"]]
        assert len(a & b) / len(a | b) == pytest.approx(float(row["published_jaccard"]), abs=1e-12)


def test_the_edition_may_be_a_year_or_a_day(tmp_path):
    folder = write_folder(tmp_path / "s")
    for edition in ("2026", "2026-03", str(date(2026, 3, 27)), '"2026"'):
        text = settings_text().replace("edition: 2026", f"edition: {edition}")
        (folder / "study.yaml").write_text(text, encoding="utf-8")
        assert read_study(folder, LIMITS).edition == edition.strip('"')


def test_populations_keep_the_order_in_which_they_are_declared(tmp_path):
    study = read_study(write_folder(tmp_path / "s"), LIMITS)
    assert list(study.populations.items()) == [("makers", "Makers"), ("panel", "Panel")]


def test_participants_and_terms_come_in_sorted_order(tmp_path):
    study = read_study(write_folder(tmp_path / "s"), LIMITS)
    assert study.register.participants == tuple(sorted(PEOPLE))
    assert [row["term"] for row in study.terms] == sorted(TERMS)


def test_colours_are_written_in_small_letters(tmp_path):
    study = read_study(write_folder(tmp_path / "s"), LIMITS)
    assert study.colours[0]["colour"] == "#8fbc8f"


def test_people_are_read_in_an_order_that_no_id_decides(tmp_path):
    found = []
    for place, names in enumerate((list(PEOPLE), list(PEOPLE)[::-1])):
        ids = dict(zip(PEOPLE, (f"x{name}" for name in names), strict=True))
        rows = [[ids.get(row[0], row[0]), *row[1:]] for row in long_rows()]
        people = [[ids.get(row[0], row[0]), *row[1:]] for row in tables()["participants.csv"]]
        folder = write_folder(
            tmp_path / f"s{place}", {"sorts.csv": rows, "participants.csv": people}
        )
        canonical(folder, tmp_path / f"out{place}")
        out = tmp_path / f"out{place}"
        read = read_received(out / "sorts.csv", out / "register.csv")
        found.append([read.sorts.populations, read.sorts.piles.tolist(), read.positions.tolist()])
    assert found[0] == found[1]


def test_what_two_populations_sent_alike_is_noted_and_both_count(tmp_path):
    rows = [row[:3] for row in long_rows()]
    piles = {row[1]: row[2] for row in rows if row[0] == "p0"}
    other = next(name for name, population in PEOPLE.items() if population != PEOPLE["p0"])
    for row in rows:
        if row[0] == other:
            row[2] = piles[row[1]]
    study = read_study(write_folder(tmp_path / "s", {"sorts.csv": rows}), LIMITS, "", 6)
    noted = [note for note in study.findings if "both count" in note.problem]
    assert [(note.file, note.value) for note in noted] == [("participants.csv", other)]
    assert other in study.register.participants
