"""The word `kit`: files for everybody invited, in the frozen order, and what is said of them."""

from felloe.collecting.spreadsheet.reading import read_spreadsheet
from kit_example import GERMAN, SETTINGS, design, invite
from openpyxl import load_workbook
from study_folder import TERMS, write_rows
from typed_words import kit, refusal

ENDS = ("html", "pdf", "xlsx")


def test_everybody_gets_three_files_and_an_order(here, capsys):
    assert kit() == 0
    for person in ("p1", "m1"):
        names = {path.name for path in (here / "asked" / "kit" / person).iterdir()}
        assert names == {"issued.json", *(f"brine-{person}.{end}" for end in ENDS)}
        own = [row for row in design(here) if row["participant"] == person]
        assert [row["position"] for row in own] == [str(n + 1) for n in range(len(TERMS))]
        assert sorted(row["term"] for row in own) == sorted(TERMS)
    said = capsys.readouterr().out
    assert "2 people, all 6 terms each" in said
    assert "would refuse" not in said
    for caution in ("Ethics review", "Pseudonyms only", "not confidential", "as good as unique"):
        assert caution in said


def test_the_files_show_the_order_of_the_design(here):
    kit()
    for person in ("p1", "m1"):
        order = [row["term"] for row in design(here) if row["participant"] == person]
        sheet = load_workbook(here / f"asked/kit/{person}/brine-{person}.xlsx")["cards"]
        assert [row[4].value for row in sheet.iter_rows(min_row=4)] == order
        page = (here / f"asked/kit/{person}/brine-{person}.html").read_text(encoding="utf-8")
        places = [page.index(f'"{term.title()}"') for term in order]
        assert places == sorted(places)


def test_the_frozen_order_is_read_by_its_positions(here):
    orders = {"p1": TERMS[::-1], "m1": [*TERMS[2:], *TERMS[:2]]}
    rows = [
        [person, term, str(place)]
        for person, order in orders.items()
        for place, term in enumerate(order, 1)
    ]
    write_rows(here / "asked/design.csv", [["participant", "term", "position"], *sorted(rows)])
    before = (here / "asked/design.csv").read_bytes()
    assert kit() == 0
    assert (here / "asked/design.csv").read_bytes() == before
    for person, order in orders.items():
        sheet = load_workbook(here / f"asked/kit/{person}/brine-{person}.xlsx")["cards"]
        assert [row[4].value for row in sheet.iter_rows(min_row=4)] == list(order)


def test_a_lexicon_in_parts_shows_each_some_terms(here, capsys):
    (here / "mine.yaml").write_text(
        f"{SETTINGS}design: {{whole_up_to: 5, terms_per_participant: 4}}\n"
    )
    kit()
    said = capsys.readouterr().out
    assert "2 people, 4 of 6 terms each" in said
    assert "a run would refuse this study" in said  # one person sees 6 of 15 pairs
    own = [row["term"] for row in design(here) if row["participant"] == "p1"]
    assert len(own) == len(set(own)) == 4
    sheet = load_workbook(here / "asked/kit/p1/brine-p1.xlsx")["cards"]
    assert [row[4].value for row in sheet.iter_rows(min_row=4)] == own


def test_each_language_has_its_words(here):
    invite(here, ["p3", "panel", "de"])
    titled = GERMAN.replace("instruction:", "title: Wörter der Lake\ninstruction:")
    (here / "asked/consent.de.md").write_text(titled, encoding="utf-8")
    labels = [[term, "term", "de", f"{term} auf Deutsch"] for term in TERMS]
    write_rows(here / "asked/labels.csv", [["id", "tier", "language", "label"], *labels])
    assert kit() == 0
    book = load_workbook(here / "asked/kit/p3/brine-p3.xlsx")
    assert book["Karten"]["A1"].value == "Legen Sie zusammen, was passt."
    assert "Wörter der Lake" in str([[c.value for c in r] for s in book for r in s.iter_rows()])
    assert book["Karten"]["B4"].value.endswith("auf Deutsch")
    assert load_workbook(here / "asked/kit/p1/brine-p1.xlsx")["cards"]["B4"].value in [
        term.title() for term in TERMS
    ]


def test_that_there_is_no_consent_text_is_said(here, capsys):
    (here / "asked/consent.md").write_text("no consent text\n")
    assert kit() == 0
    assert "says that there is no consent text" in capsys.readouterr().out


def test_definitions_are_shown_where_the_setting_says_so(here, capsys):
    (here / "mine.yaml").write_text(f"{SETTINGS}kit: {{definitions: true}}\n")
    kit()
    assert "That changes the task" in capsys.readouterr().out
    sheet = load_workbook(here / "asked/kit/p1/brine-p1.xlsx")["cards"]
    assert sheet["C3"].value == "Definition"
    (here / "mine.yaml").write_text(SETTINGS)
    assert "labels or definitions are not" in refusal(capsys, here, kit)


def test_colours_are_asked_of_each_for_a_share(here, capsys):
    (here / "mine.yaml").write_text(f"{SETTINGS}kit: {{colours_per_person: 4}}\n")
    assert kit("--colours") == 0
    said = capsys.readouterr().out
    assert "2 people, colours of 4 terms each; every term was dealt to 1 to 2 people" in said
    assert "6 terms have fewer than 3 people" in said
    assert not (here / "asked/design.csv").exists()
    names = {path.name for path in (here / "asked/kit/p1").iterdir()}
    assert names == {"issued.json", "brine-p1-colours.html", "brine-p1-colours.xlsx"}
    book = load_workbook(here / "asked/kit/p1/brine-p1-colours.xlsx")
    book["cards"]["C4"] = "#336699"
    book.save(here / "back.xlsx")
    (found,), _ = read_spreadsheet(here / "back.xlsx")
    assert found.identity.kind == "colours"
    assert list(found.picks.values()) == ["#336699"]
    assert len(found.unplaced) == 3


def test_nothing_in_a_kit_tells_of_place_time_or_machine(here):
    kit()
    kit("--colours")
    for path in (here / "asked/kit").rglob("*"):
        if path.is_file():
            data = path.read_bytes()
            assert str(here).encode() not in data
