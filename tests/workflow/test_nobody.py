"""Nobody stands outside validation/: a study of unmistakable people, every stream searched."""

import csv
import hashlib
import io
import json
import re
import shutil
import zipfile
from collections import Counter

import numpy as np
import pytest
from felloe.report.hand_off.workbook import write_workbook
from peering import files_in, hits, parts_of
from small_study import RESPONDENTS, SETTINGS, write_small_study
from study_folder import write_rows
from workflow.conftest import run_felloe

PEOPLE = [f"zebrafinch-{at:02d}" for at in range(1, 20)]
PICKERS = [f"Bowerbird {at}" for at in range(1, 10)]
PILES, NICK = "quagga", "heron"
FEW_PICKED = ("#13579b", "#a1b2c3")  # of the one term for which two people picked
PLACES = ("--configfile", "small.yaml", "--directory", ".")
PERSONAL = ("n_piles", "pairs_together_share", "minutes", "seconds_per_term", "entropy_bits",
            "agreement_with_others", "largest_pile_share", "pile_sizes")  # fmt: skip


def minutes(at):
    return f"{137.7301 + 3.0017 * at:.4f}"


def read(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.reader(stream))


def write_study(folder):
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
        elif row[0] in ("zebrafinch-04",):
            row[2] = f"00{row[2]}"
    write_rows(folder / "sorts.csv", [header, *sorts])
    (folder / "zebrafinch-03.txt").write_text("what zebrafinch-03 said", encoding="utf-8")
    header, *picks = read(folder / "colours.csv")
    renamed = dict(zip(RESPONDENTS, PICKERS, strict=True))
    picks = [[term, renamed[who], colour] for term, who, colour in picks]
    picks += [["elm", who, colour] for who, colour in zip(PICKERS, FEW_PICKED, strict=False)]
    write_rows(folder / "colours.csv", [header, *picks])


@pytest.fixture(scope="module")
def here(tmp_path_factory):
    """A folder in which the study was run, and shared as a zip and as a folder."""
    folder = tmp_path_factory.mktemp("nobody") / "a folder"
    write_study(folder / "guild")
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    for words in (
        (), ("share", "guild"), ("share", "guild", "--folder"),
        ("archive", "guild", "--without-people"),
    ):  # fmt: skip
        done = run_felloe(*words, *PLACES, cwd=folder)
        assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-4000:]
    return folder


def results(here):
    """Yield every file of the results but those of the validation."""
    return files_in(here / "results" / "guild", ["validation"])


def people_words():
    return [*PEOPLE, *PICKERS, PILES, NICK, *(minutes(at) for at in range(1, 20)), "1777.3701"]


def test_the_people_are_in_the_validation(here):
    within = hits(files_in(here / "results" / "guild" / "validation"), people_words())
    found = set().union(*within.values())
    assert {who.lower() for who in (*PEOPLE, *PICKERS)} <= found
    assert minutes(5) in found
    assert PILES in (here / "guild" / "sorts.csv").read_text("utf-8")


def test_nobody_is_in_any_other_file(here):
    assert hits(results(here), people_words()) == {}


@pytest.mark.parametrize("where", ["shared", "archives"])
def test_nobody_is_in_what_is_passed_on(here, where):
    found = hits(files_in(here / where), people_words())
    assert {part for part in found if "/validation/" not in part} == set()
    assert where == "archives" or found == {}


def test_a_workbook_with_everybody_is_found_out(here, tmp_path):
    """The tester is tested: with the same code and one declaration undone, the test above fails."""
    copy = tmp_path / "guild"
    shutil.copytree(here / "results" / "guild", copy)
    from felloe.validation import tables

    undone = pytest.MonkeyPatch()
    for table in (tables.PARTICIPANTS, tables.PICKS):
        undone.setitem(table.__dict__, "personal", False)
    paths = sorted((copy / "validation").glob("*.csv"))
    write_workbook(copy / "report" / "tables.xlsx", paths, copy, "guild", 3)
    undone.undo()
    found = hits(files_in(copy, ["validation"]), people_words())
    assert set().union(*found.values()) >= {who.lower() for who in (*PEOPLE, *PICKERS)}
    assert all(part.startswith("report/tables.xlsx") for part in found)


def test_an_id_in_a_picture_within_the_page_is_found_out(here, tmp_path):
    import base64

    page = (here / "results" / "guild" / "report" / "report.html").read_text("utf-8")
    drawn = base64.b64encode(b"<svg><text>zebrafinch-07</text></svg>").decode()
    sabotaged = page.replace("</body>", f'<img src="data:image/svg+xml;base64,{drawn}"></body>')
    assert hits([("report.html", sabotaged.encode())], people_words())


def columns_of(name, data):
    """Yield the columns of every table in a file, as sorted numbers or words."""
    if name.endswith(".csv"):
        tables = [list(csv.reader(io.StringIO(data.decode("utf-8"))))]
    elif name.endswith(".xlsx"):
        import openpyxl

        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True)
        tables = [[*sheet.iter_rows(values_only=True)] for sheet in book]
    elif name.endswith(".html"):
        rows = re.findall(r"<tr>(.*?)</tr>", data.decode("utf-8"), re.DOTALL)
        cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in rows]
        tables = [[[re.sub("<.*?>", "", cell) for cell in row] for row in cells]]
    elif name.endswith((".json", ".jsonld")):
        yield from lists_in(json.loads(data))
        return
    else:
        return
    for table in tables:
        width = max(map(len, table), default=0)
        for place in range(width):
            yield multiset(row[place] for row in table if len(row) > place)


def lists_in(value):
    """Yield every list of numbers or words in a JSON value, also one key through many objects."""
    if isinstance(value, dict):
        for each in value.values():
            yield from lists_in(each)
    elif isinstance(value, list):
        yield multiset(each for each in value if not isinstance(each, dict | list))
        for key in {key for each in value if isinstance(each, dict) for key in each}:
            yield multiset(each.get(key) for each in value if isinstance(each, dict))
        for each in value:
            yield from lists_in(each)


def multiset(values):
    return Counter(rounded(value) for value in values if value not in (None, ""))


def rounded(value):
    try:
        return round(float(value), 3)
    except (TypeError, ValueError):
        return str(value)


def person_columns(here):
    """Return the columns that tell people apart, of all of them and of the kept, by name."""
    path = here / "results" / "guild" / "validation" / "participants.csv"
    with open(path, encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    kept = [row for row in rows if row["status"] == "kept"]
    columns = {
        (name, len(members)): multiset(row[name] for row in members)
        for name in PERSONAL
        for members in (rows, kept)
    }
    return {key: values for key, values in columns.items() if len(values) > 4}


def rows_per_person(files, here):
    """Return every table that holds a column of all people, by file and column."""
    wanted = person_columns(here)
    return {
        (name, key)
        for name, data in files
        for column in columns_of(name, data)
        for key, values in wanted.items()
        if not values - column
    }


def test_no_table_has_a_row_for_every_person(here):
    assert {name for name, _ in person_columns(here)} >= {"minutes", "pairs_together_share"}
    assert rows_per_person(results(here), here) == set()


def test_a_table_with_a_row_for_every_person_is_found_out(here):
    path = here / "results" / "guild" / "validation" / "participants.csv"
    _, *rows = read(path)
    nameless = [["x", *row[2:6]] for row in rows[::-1]]  # in another order, with no id
    key = ("pairs_together_share", len(rows))
    table = "\n".join(map(",".join, nameless))
    cells = "".join(f"<tr><td>x</td><td>{row[4]}</td></tr>" for row in nameless)
    record = json.dumps({"a": [{"b": float(row[4])} for row in nameless]})
    for name, text in (("a.csv", table), ("a.html", cells), ("a.json", record)):
        assert (name, key) in rows_per_person([(name, text.encode())], here)


def test_no_colour_is_told_that_fewer_than_three_people_picked(here):
    picked = Counter(colour for _, _, colour in read(here / "guild" / "colours.csv")[1:])
    few = [colour for colour, n in picked.items() if n < 3]
    assert len(few) > 10
    assert hits(results(here), few) == {}


def marks_in(drawing):
    """Yield the places of the marks of each group of a drawing, across and down."""
    for group in re.split(r"<g\b", drawing):
        marks = re.findall(r'<use [^>]*x="([-.\d]+)" y="([-.\d]+)"', group)
        places = [(float(x), float(y)) for x, y in marks]
        yield from zip(*places, strict=True)


def drawn_people(drawing, here):
    """Return the columns of people whose values the marks of a drawing give back, in any scale."""
    found = set()
    for places in marks_in(drawing):
        for (name, _), values in population_columns(here).items():
            if len(places) == len(values) and len(set(places)) > 3:
                r = np.corrcoef(np.sort(places), np.sort(values))[0, 1]
                if r > 0.999 or np.corrcoef(np.sort(places)[::-1], np.sort(values))[0, 1] < -0.999:
                    found.add(name)
    return found


def population_columns(here):
    """Return the numbers of the kept of each population and of all, by column."""
    path = here / "results" / "guild" / "validation" / "participants.csv"
    with open(path, encoding="utf-8") as stream:
        rows = [row for row in csv.DictReader(stream) if row["status"] == "kept"]
    groups = {name: [row for row in rows if row["population"] in name] for name in GROUPS}
    return {
        (column, name): [float(row[column]) for row in members]
        for column in ("pairs_together_share", "minutes", "agreement_with_others", "n_piles")
        for name, members in groups.items()
    }


GROUPS = (("makers",), ("panel",), ("makers", "panel"))


def drawings(here):
    """Yield every drawing of the results, those within pages too."""
    for name, data in results(here):
        for part, content in parts_of(name, data):
            if b"<svg" in content[:2000] and not part.endswith(".html"):
                yield part, content.decode("utf-8")


def test_no_figure_has_a_mark_for_every_person(here):
    seen = dict(drawings(here))
    assert "figures/granularity.svg" in seen
    assert any(part.startswith("report/report.html!") for part in seen)
    assert [part for part, drawing in seen.items() if drawn_people(drawing, here)] == []


def test_a_figure_with_a_dot_for_everybody_is_found_out(here):
    from felloe.ground.drawing import figure

    values = population_columns(here)["pairs_together_share", ("makers",)]
    fig = figure(100, 60)
    axes = fig.subplots()
    axes.scatter(values, np.arange(len(values)) % 3)
    stream = io.StringIO()
    fig.savefig(stream, format="svg")
    assert "pairs_together_share" in drawn_people(stream.getvalue(), here)


def test_how_many_were_received_is_nowhere_where_a_few_were_lost(here):
    with open(here / "results/guild/validation/flow.csv", encoding="utf-8") as stream:
        lost = [int(row["lost"]) for row in csv.DictReader(stream)]
    assert max(lost) in (1, 2)  # one of each population
    page = (here / "results" / "guild" / "report" / "report.html").read_text("utf-8")
    words = " ".join(re.sub("<.*?>", " ", page).split())
    assert "17 participants analysed;" in words
    assert "19 received" not in words
    with open(here / "results/guild/sensitivity/universes.csv", encoding="utf-8") as stream:
        told = {row["n_participants"] for row in csv.DictReader(stream)}
    assert told == {"17", ""}


def test_folder_and_zip_hold_the_same_and_what_their_sums_say(here):
    folder = here / "shared" / "guild"
    with zipfile.ZipFile(here / "shared" / "guild.zip") as packed:
        zipped = {name.removeprefix("guild/"): packed.read(name) for name in packed.namelist()}
    files = dict(files_in(folder))
    assert files == zipped
    sums = dict(line.split("  ", 1)[::-1] for line in files.pop("SHA256SUMS").decode().splitlines())
    assert sums == {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}


def test_what_is_shared_has_no_validation_and_says_so(here):
    files = dict(files_in(here / "shared" / "guild"))
    assert not [
        name
        for name in files
        if re.search("validation/|ledger/|logs/|benchmarks/|manifest|environment|sorts", name)
    ]
    for name in ("report/report.html", "report/tables.xlsx", "figures/wheel.pdf",
                 "matrices/pooled.together.csv"):  # fmt: skip
        assert f"results/guild/{name}" in files
    told = files["NOT_INCLUDED.txt"].decode()
    missing = {
        path.relative_to(here).as_posix()
        for path in (here / "results" / "guild" / "validation").iterdir()
    }
    assert missing <= set(re.findall(r"results/\S+", told))
    assert "Wear gloves." in files["README.txt"].decode()


def test_no_link_in_what_is_shared_is_dead(here):
    folder = here / "shared" / "guild"
    links = [
        (page, link)
        for page in folder.rglob("*.html")
        for link in re.findall(r'<a\b[^>]*href="([^"#?]+)', page.read_text("utf-8"))
        if not re.match("[a-z]+:", link)
    ]
    assert links
    assert [link for page, link in links if not (page.parent / link).exists()] == []


def test_sharing_again_gives_the_same_bytes(here):
    path = here / "shared" / "guild.zip"
    before = path.read_bytes()
    assert run_felloe("share", *PLACES, cwd=here).returncode == 0
    assert path.read_bytes() == before


@pytest.fixture
def copy(here, tmp_path):
    shutil.copytree(here, tmp_path / "copy", ignore=shutil.ignore_patterns(".snakemake", "shared"))
    return tmp_path / "copy"


def refused(copy, *words, status=1):
    """Share and be refused on one screen; nothing is written."""
    done = run_felloe("share", *words, *PLACES, cwd=copy)
    assert done.returncode == status, done.stdout + done.stderr
    assert not (copy / "shared").exists()
    assert "Traceback" not in done.stderr
    return done.stderr


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("results/guild/tiers/published.csv", "term\n", "is not what"),
        ("results/guild/figures/wheel.pdf", None, "is missing"),
        ("guild/names.csv", "tier,anchor,name\n", "was changed or added since"),
        ("small.yaml", f"{SETTINGS}\nseed: 5\n", "is of other settings"),
    ],
)
def test_stale_and_incomplete_results_are_not_shared(copy, name, text, said):
    path = copy / name
    if text is None:
        path.unlink()
    else:
        path.write_text(text, encoding="utf-8")
    told = refused(copy, "guild")
    assert said in told
    assert "What is shared is made of whole results alone" in told


def test_a_study_that_there_is_not_is_a_wrong_command(copy):
    assert "guild" in refused(copy, "gild", status=2)


def test_a_reason_that_names_somebody_is_not_shared(copy):
    path = copy / "guild" / "decisions.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("a matter of taste", "zebrafinch-07 knows"), encoding="utf-8")
    assert run_felloe(*PLACES, cwd=copy).returncode == 0
    told = refused(copy, "guild")
    assert "results/guild/report/report.html names zebrafinch-07." in told
