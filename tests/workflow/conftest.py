"""Whole studies, run by the command that a user types, in folders with a blank in their name."""

import os
import shutil
from pathlib import Path

import pytest
from browsing import PAGES, opened
from called import called
from felloe.report.chart import read_chart
from kit_pages import starting
from small_study import SETTINGS, STUDY, write_small_study
from unmistakable import PLACES, write_unmistakable_study

ROOT = Path(__file__).parents[2]
RUN = ROOT / "scripts" / "run"
# fewer replicates than a published study; every step and every file is the same
QUICK = """
bootstrap: {replicates: 300, parts: %d, null_replicates: 50}
clustering: {tie_orders: 40, null_replicates: 20}
comparison: {permutations: 499, shape_permutations: 199, splits: 60}
stability: {curve_repeats: 20, curve_steps: 4}
map: {bootstrap: 20, null_replicates: 5}
circle: {adjacency_replicates: 40, random_drawings: 50, free_tour_starts: 10}
"""
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
SWITCHES = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


def run_felloe(*arguments, cwd):
    """Call `scripts/run` as a user does; return what it said and its exit status."""
    return called(RUN, *arguments, cwd=cwd, timeout=1500)


def run_through(*arguments, cwd):
    """Call it as a user does, to an end that is good; return what it said."""
    done = run_felloe(*arguments, cwd=cwd)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-6000:]
    return done


def whole_run(folder, cores, parts, extra=""):
    """Run the demo with quick settings in a new folder; return the results folder."""
    folder.mkdir(parents=True)
    settings = folder / "quick.yaml"
    settings.write_text(QUICK % parts + extra, encoding="utf-8")
    run_through("--configfile", "quick.yaml", "--directory", ".", "--cores", cores, cwd=folder)
    return folder / "results"


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """Results of both demo studies, on two cores."""
    return whole_run(tmp_path_factory.mktemp("first") / "a folder", cores=2, parts=2)


@pytest.fixture(scope="session")
def demo_again(tmp_path_factory):
    """The same in another folder, on one core, the bootstrap split otherwise."""
    return whole_run(tmp_path_factory.mktemp("second") / "elsewhere", cores=1, parts=3)


@pytest.fixture(scope="session")
def small_run(tmp_path_factory):
    """A working folder with a small study that was run by the launcher; a test changes a copy."""
    folder = tmp_path_factory.mktemp("whole") / "a folder"
    write_small_study(folder / STUDY)
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    run_through(*PLACES, cwd=folder)
    return folder


@pytest.fixture
def small_copy(small_run, tmp_path):
    """A copy of it, as it would come to another machine: without the engine's own notes."""
    copy = tmp_path / "copy"
    shutil.copytree(small_run, copy, ignore=shutil.ignore_patterns(".snakemake"))
    return copy


@pytest.fixture(scope="session")
def unmistakable_run(tmp_path_factory):
    """A folder in which a study of unmistakable people was run, shared both ways, archived."""
    folder = tmp_path_factory.mktemp("nobody") / "a folder"
    write_unmistakable_study(folder / "guild")
    (folder / "small.yaml").write_text(SETTINGS + "figures: {pdf: true}\n", encoding="utf-8")
    for words in (
        (), ("share", "guild"), ("share", "guild", "--folder"),
        ("archive", "guild", "--without-people"),
    ):  # fmt: skip
        run_through(*words, *PLACES, cwd=folder)
    return folder


@pytest.fixture(scope="session")
def browser():
    """Chromium; without one the tests are skipped, unless FELLOE_BROWSER says it is required."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        say = pytest.fail if os.environ.get("FELLOE_BROWSER") == "required" else pytest.skip
        say("there is no Chromium here, so the pages were not opened in a browser")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tools:
        started = tools.chromium.launch(executable_path=found, args=list(SWITCHES))
        yield started
        started.close()


@pytest.fixture(scope="session")
def chart(demo):
    """The chart of the newer demo study."""
    return read_chart(demo / "brine-2026" / "report" / "chart.json")


@pytest.fixture
def wheel(browser, demo):
    """Return what opens the wheel's page."""
    return lambda **how: opened(browser, demo / PAGES["wheel"], **how)


@pytest.fixture
def sorting(browser, tmp_path):
    """Return what opens the page for sorting, started."""
    return starting(browser, tmp_path, "sort")
