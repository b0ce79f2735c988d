"""What `share` writes of a whole study, and what it refuses to pass on."""

import hashlib
import re
import shutil
import zipfile

import pytest
from peering import files_in
from small_study import SETTINGS
from unmistakable import PLACES
from workflow.conftest import run_felloe


@pytest.fixture(scope="module")
def here(unmistakable_run):
    return unmistakable_run


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
