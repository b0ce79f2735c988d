"""What `study.yaml` of every study says is read once, by one reader, before anything is planned."""

import pytest
from felloe.errors import StudyError
from felloe.validation.intake.study_file import read_headers, read_study_file
from study_folder import settings_text, write_folder

HEADERS = {  # what is put in place of a line: line, and words of the message
    "a population in capitals": ("  panel: Panel", "  Panel: Panel", 6, "is no identifier"),
    "a population of two words": ("  panel: Panel", "  my panel: Panel", 6, "is no identifier"),
    "a population that is a truth value": ("  panel: Panel", "  no: Panel", 6, "in quotes, 'no'"),
    "a population that is nothing": ("  panel: Panel", "  ~: Panel", 6, "quotes"),
    "a population that is no number": ("  panel: Panel", "  .nan: Panel", 6, "quotes"),
    "a population that is a date": ("  panel: Panel", "  2026-03-27: Panel", 6, "quotes"),
    "a population that leaves the folder": ("  panel: Panel", "  ../x: Panel", 6, "identifier"),
    "a population of 500 letters": ("  panel", "  " + "p" * 500, 6, "longer than 64"),
    "a month that is none": ("2026", "2016-13-01", 2, "neither a year nor a date"),
    "a license over two lines": ("sorts_layout: long", 'license: "a\\nb"', 7, "several lines"),
    "a license without an end": (
        "sorts_layout: long",
        f"license: {'x' * 300}",
        7,
        "longer than 200",
    ),
    "an address that is none": ("sorts_layout: long", "license: ftp://x y", 7, "no address"),
    "cautions that are a mapping": (
        "sorts_layout: long",
        "cautions: {gloves: wear them}",
        7,
        "neither a text nor a list of texts",
    ),
    "cautions with a list within": (
        "sorts_layout: long",
        "cautions:\n  - a\n  - [b]",
        9,
        "no text",
    ),
    "cautions that are empty": ("sorts_layout: long", "cautions:", 7, "is empty"),
    "cautions of an empty list": ("sorts_layout: long", "cautions: []", 7, "is an empty list"),
    "a caution that is a number": ("sorts_layout: long", "cautions: 5", 7, "no text"),
    "a caution that is a date": ("sorts_layout: long", "cautions: [a, 2026-01-01]", 7, "no text"),
    "a caution that is empty": ("sorts_layout: long", 'cautions:\n  - a\n  - ""', 9, "is empty"),
    "cautions longer than a card's foot": (
        "sorts_layout: long",
        f"cautions: {'x' * 401}",
        7,
        "has 401 characters, more than 400",
    ),
    "a number that is none": ("2026", ".nan", 2, "neither a year nor a date"),
    "a year of 5,000 digits": ("2026", "9" * 5000, 2, "neither a year nor a date"),
    "nested brackets": ("2026", "[" * 3000, 2, "nested more than"),
    "nested braces": ("2026", "{a: " * 3000, 2, "nested more than"),
    "nested lists of lines": ("2026", "\n  " + "- " * 3000 + "x", 3, "nested more than"),
    "an alias": ("  panel: Panel", "  panel: *label", 6, "alias"),
    "a tag": ("2026", "!!python/object:os.system x", 2, "tag"),
    "a handle of 5,000 letters": ("2026", f"!{'h' * 5000}!x y", 2, "is not YAML"),
    "a character that is none": ("2026", '"\\UFFFFFFFF"', 2, "is not YAML"),
    "half a character": ("Words for brine", '"\\uD800"', 1, "U+D800"),
    "an escape of the terminal": ("Words for brine", '"\\e[31m"', 1, "U+001B"),
    "a control character": ("Words for brine", "Words\x07", 1, "is not YAML"),
    "a second document": ("sorts_layout: long", "---\ntitle: x", 7, "document"),
    "a version of 5,000 digits": ("title", f"%YAML {'9' * 5000}\n---\ntitle", 1, "is not YAML"),
}


@pytest.mark.parametrize("case", HEADERS)
def test_a_header_is_refused_in_one_line_for(case, tmp_path):
    old, new, line, words = HEADERS[case]
    folder = write_folder(tmp_path / "study")
    text = settings_text()
    assert old in text
    (folder / "study.yaml").write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(StudyError) as refusal:
        read_headers({"mine": str(folder)})
    (fault,) = refusal.value.faults
    assert (fault.file, fault.line) == (f"{folder}/study.yaml", line)
    assert words in str(fault)
    assert len(str(fault).splitlines()) == 1
    assert len(str(fault)) < 400 + len(fault.file)


def test_an_alias_bomb_is_refused_before_it_goes_off(tmp_path):
    bomb = "a: &a [x, x]\n" + "".join(
        f"{name}: &{name} [*{before}, *{before}]\n"
        for before, name in zip("abcdefghijklmnopqrstuvwxy", "bcdefghijklmnopqrstuvwxyz")
    )
    (tmp_path / "study.yaml").write_text(bomb, encoding="utf-8")
    (fault,) = read_study_file(tmp_path / "study.yaml").faults
    assert fault.line == 2
    assert "alias" in fault.problem


def test_a_huge_header_is_refused_at_the_line_where_it_is_too_long(tmp_path):
    line = b"# a line of sixty-four characters, with its end; nothing else.\n"
    (tmp_path / "study.yaml").write_bytes(line * 1_000_000)
    (fault,) = read_study_file(tmp_path / "study.yaml").faults
    assert "is longer than" in fault.problem
    assert fault.line == 262_144 // len(line) + 1


def test_faults_of_all_headers_come_together(tmp_path):
    studies = {}
    for name, old, new in (
        ("first", "  panel: Panel", "  my panel: Panel"),
        ("second", "2026", "2016-13-01"),
        ("third", "title:", "titel:"),
    ):
        folder = write_folder(tmp_path / name)
        text = settings_text().replace(old, new, 1)
        (folder / "study.yaml").write_text(text, encoding="utf-8")
        studies[name] = str(folder)
    studies["fourth"] = str(write_folder(tmp_path / "fourth"))
    (tmp_path / "fourth" / "study.yaml").unlink()
    with pytest.raises(StudyError) as refusal:
        read_headers(studies)
    told = [fault.file.split("/")[-2] for fault in refusal.value.faults]
    assert told == ["first", "fourth", "second", "third", "third"]


def test_two_studies_of_one_folder_tell_its_fault_once(tmp_path):
    folder = str(write_folder(tmp_path / "study"))
    (tmp_path / "study" / "study.yaml").unlink()
    with pytest.raises(StudyError) as refusal:
        read_headers({"one": folder, "other": folder})
    assert len(refusal.value.faults) == 1


def test_headers_keep_the_order_in_which_populations_are_declared(tmp_path):
    folder = write_folder(tmp_path / "study")
    text = settings_text().replace("  makers: Makers\n  panel: Panel", "  z: Z\n  7: S\n  a: A")
    (folder / "study.yaml").write_text(text, encoding="utf-8")
    header = read_headers({"mine": str(folder)})["mine"]
    assert header.populations == {"z": "Z", "7": "S", "a": "A"}
    assert list(header.populations) == ["z", "7", "a"]


def test_a_header_that_is_a_folder_is_said_to_be_missing(tmp_path):
    (tmp_path / "study.yaml").mkdir()
    (fault,) = read_study_file(tmp_path / "study.yaml").faults
    assert "missing" in fault.problem


def test_a_population_may_be_a_year_and_is_then_the_text_that_stands_there(tmp_path):
    folder = write_folder(tmp_path / "study")
    text = settings_text().replace("  panel: Panel", "  2026: Panel")
    (folder / "study.yaml").write_text(text, encoding="utf-8")
    (header,) = read_headers({"mine": str(folder)}).values()
    assert list(header.populations) == ["makers", "2026"]


@pytest.mark.parametrize("license", ["CC-BY-4.0", "https://example.org/terms?a=1", ""])
def test_a_license_is_taken_as_it_stands(license, tmp_path):
    folder = write_folder(tmp_path / "study")
    if license:
        with open(folder / "study.yaml", "a", encoding="utf-8") as stream:
            stream.write(f"license: {license}\n")
    found = read_study_file(folder / "study.yaml")
    assert (found.license, found.faults) == (license, [])


@pytest.mark.parametrize(
    ("written", "cautions"),
    [
        ("", ()),
        ("cautions: Wear gloves.\n", ("Wear gloves.",)),
        ("cautions:\n  - Wear gloves.\n  - No flames.\n", ("Wear gloves.", "No flames.")),
        (f"cautions: {'x' * 400}\n", ("x" * 400,)),
    ],
)
def test_cautions_are_one_text_or_several(written, cautions, tmp_path):
    folder = write_folder(tmp_path / "study")
    with open(folder / "study.yaml", "a", encoding="utf-8") as stream:
        stream.write(written)
    found = read_study_file(folder / "study.yaml")
    assert (found.cautions, found.faults) == (cautions, [])
