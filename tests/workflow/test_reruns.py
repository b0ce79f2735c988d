"""What runs again after a change: no more than what the change is part of."""

import json
import re
import shutil
import subprocess
import sys

import pytest
from felloe.provenance import LIBRARY, files_of
from small_study import SETTINGS, STUDY, write_small_study
from workflow.conftest import ROOT

PARTS = ["Snakefile", "config", "workflow", "scripts", "requirements.lock"]
LATER = "later"
STUDIES = f"studies: {{{STUDY}: {STUDY}, {LATER}: {LATER}}}\neditions: [[{STUDY}, {LATER}]]"
TWO_STUDIES = re.sub(r"studies: .*\neditions: .*", STUDIES, SETTINGS)
# manifests hold the hash of every result, and of the project's code
MANIFEST = {"all", "write_report", "write_edition_manifest"}
TELLS = "told in the report"  # which is written by the job of the manifest
REPORT = {TELLS, *MANIFEST}
# who prints the words of each stage: figures, pages, both vocabularies; the report shows figures
PRINTED = {
    "archiving/share_words.py": MANIFEST,
    "allocation/words.py": MANIFEST,  # no step prints it, but it is part of the code
    "audit/chart_words.py": MANIFEST,
    "audit/content_words.py": MANIFEST,
    "audit/pair_words.py": MANIFEST,
    "audit/words.py": MANIFEST,  # no step prints them, but they are part of the code
    "collecting/gathering/words.py": MANIFEST,
    "collecting/kit/kit_words.py": MANIFEST,
    "circle/follow_words.py": REPORT,
    "foresight/words.py": MANIFEST,
    "matrices/recovery_words.py": REPORT,
    "circle/words.py": REPORT,
    "circle/figure_words.py": {"draw_evidence", *REPORT},
    "circle/own/own_chart_words.py": {"draw_evidence", *REPORT},
    "clustering/source_words.py": {"draw_evidence", *REPORT},
    "clustering/follow_words.py": REPORT,
    "clustering/words.py": REPORT,
    "clustering/figure_words.py": {"draw_evidence", *MANIFEST},
    "colours/follow_words.py": REPORT,
    "colours/words.py": REPORT,
    "comparison/follow_words.py": REPORT,
    "comparison/sample_words.py": REPORT,
    "comparison/words.py": {"draw_populations", *REPORT},
    "comparison/provisional_words.py": {
        "draw_evidence",
        "draw_wheel",
        "write_pages",
        "write_hand_off",
        "draw_editions",
        "report_editions",
        *REPORT,
    },
    "editions/handing_on/crosswalk_words.py": {"report_editions", *MANIFEST},
    "editions/columns/figure_words.py": {
        "draw_editions",
        "report_editions",
        *MANIFEST,
    },
    "editions/follow_words.py": {"report_editions", *MANIFEST},
    "editions/chance/noise_words.py": {"report_editions", *MANIFEST},
    "editions/verdict_words.py": {"report_editions", *MANIFEST},
    "editions/words.py": {"draw_editions", "report_editions", *MANIFEST},
    "launching/setup/pip_words.py": MANIFEST,
    "audit/quick_words.py": MANIFEST,
    "launching/planning/reason_words.py": MANIFEST,
    "report/cards/card_words.py": {"write_pages", *MANIFEST},
    "report/languages/language_words.py": {
        "draw_wheel",
        "write_pages",
        "write_hand_off",
        "report_editions",
        *REPORT,
    },
    "report/telling/glossary_words.py": REPORT,
    "report/telling/summary_words.py": REPORT,
    "report/telling/translation_words.py": REPORT,
    "report/mark_words.py": {
        "draw_wheel",
        "write_pages",
        "write_hand_off",
        "report_editions",
        *REPORT,
    },
    "sensitivity/follow_words.py": REPORT,
    "sensitivity/words.py": REPORT,
    "tiers/follow_words.py": REPORT,
    "tiers/question_words.py": REPORT,
    "validation/follow_words.py": REPORT,
    "sensitivity/figure_words.py": {"draw_evidence", *MANIFEST},
    "tiers/words.py": REPORT,
    "timeline/figure_words.py": MANIFEST,  # two editions have no timeline
    "timeline/follow_words.py": MANIFEST,
    "timeline/words.py": MANIFEST,
    "validation/partial_words.py": REPORT,
    "validation/protocol_words.py": REPORT,
    "validation/words.py": REPORT,
}
MEANING = re.compile(r'(Table\(\s*"[^"]+",\s*"[^"]+",.*?Column\(\s*"\w+",\s*"[\w/]+",\s*")', re.S)


def engine(project, *arguments):
    """Call Snakemake in a project as the launcher does; return what it says."""
    profile = project / "workflow" / "profiles" / "default"
    command = [sys.executable, "-m", "snakemake", "--workflow-profile", str(profile)]
    command += ["--configfile", "small.yaml", "--cores", "2", *arguments]
    done = subprocess.run(command, cwd=project, capture_output=True, text=True, timeout=900)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-3000:]
    return done.stdout + done.stderr


def jobs(project, *results):
    """Return the rules that would run, for some results or for all."""
    said = engine(project, "--dry-run", *results)
    found = set(re.findall(r"^(?:local)?rule (\w+):$", said, flags=re.MULTILINE))
    found = {re.sub(rf"_({STUDY}|{LATER})$", "", name) for name in found}  # made for one study
    assert found or "Nothing to be done" in said
    return found


def jobs_after(project, module, change, *results):
    """Return the rules that would run if a file of the library were changed."""
    return jobs_after_edit(project, f"scripts/felloe/{module}", change, *results)


def jobs_after_edit(project, name, change, *results):
    """Return the rules that would run if a file were changed."""
    path = project / name
    before = path.read_text(encoding="utf-8")
    after = change(before)
    assert after != before
    path.write_text(after, encoding="utf-8")
    try:
        return jobs(project, *results)
    finally:
        path.write_text(before, encoding="utf-8")


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    """A copy of the project in which two small editions and their comparison were made."""
    folder = tmp_path_factory.mktemp("made here") / "felloe"
    folder.mkdir()
    for part in PARTS:
        copy = shutil.copytree if (ROOT / part).is_dir() else shutil.copy
        copy(ROOT / part, folder / part)
    for study in (STUDY, LATER):
        write_small_study(folder / study)
    (folder / "small.yaml").write_text(TWO_STUDIES, encoding="utf-8")
    engine(folder)
    return folder


def test_a_finished_project_runs_nothing(project):
    assert jobs(project) == set()


def test_a_moved_project_runs_nothing(project, tmp_path):
    moved = tmp_path / "moved there" / "felloe"
    shutil.copytree(project, moved, symlinks=True)
    hidden = project.rename(project.parent / "gone")
    try:
        assert jobs(moved) == set()
    finally:
        hidden.rename(project)


def test_files_that_are_only_touched_run_nothing(project):
    for path in (project / "scripts").rglob("*.py"):
        path.touch()
    assert jobs(project) == set()


def test_every_module_of_words_is_tried():
    library = ROOT / "scripts" / "felloe"
    written = {path.relative_to(library).as_posix() for path in library.rglob("*words.py")}
    written.discard("tiers/steps/count_words.py")  # a step, named for what it counts
    assert written == set(PRINTED)


@pytest.mark.parametrize("module", PRINTED)
def test_a_changed_sentence_runs_only_who_prints_it(project, module):
    ran = jobs_after(project, module, lambda text: text + "\nADDED = 1\n")
    assert ran == PRINTED[module] - {TELLS}
    assert (LIBRARY / module in files_of("write_report")) is (TELLS in PRINTED[module])


@pytest.mark.parametrize(
    ("module", "rules"),
    [
        ("report/telling/frame.html.j2", {"report_editions", *MANIFEST}),
        ("comparison/page.html.j2", MANIFEST),
        ("comparison/figures.py", {"draw_populations", *MANIFEST}),
    ],
)
def test_a_changed_page_or_figure_runs_only_itself_and_what_shows_it(project, module, rules):
    addition = "\nADDED = 1\n" if module.endswith(".py") else "<!-- -->"
    assert jobs_after(project, module, lambda text: text + addition) == rules


def test_a_changed_computation_runs_its_step(project):
    ran = jobs_after(
        project, "comparison/correlating/association.py", lambda text: text + "\nADDED = 1\n"
    )
    assert "compare_populations" in ran
    assert not ran & {"validate_sorts", "count_cooccurrence"}


def test_a_changed_decision_is_replayed_and_priced_and_nothing_before_it_runs(project):
    checked = f"results/{STUDY}/validation/decisions.csv"
    prices = [f"results/{STUDY}/tiers/{name}.csv" for name in ("prices", "regroupings")]
    ran = jobs_after_edit(project, checked, lambda text: text.replace("clove", "beet"), *prices)
    assert ran == {"publish_tiers", "price_moves"}
    assert jobs(project) == set()  # the decision is back


def test_another_linkage_of_one_edition_runs_its_tree_and_the_comparison_alone(project):
    own = f"per_study: {{{STUDY}: {{clustering: {{linkage: complete}}}}}}\n"
    trees = {study: f"results/{study}/clustering/linkage.csv" for study in (STUDY, LATER)}

    def ran_for(*results):
        return jobs_after_edit(project, "small.yaml", lambda text: text + own, *results)

    assert ran_for(trees[STUDY]) == {"cluster_terms"}
    assert ran_for(trees[LATER]) == set()
    compared = ran_for(f"results/editions/{STUDY}--{LATER}/manifest.json")
    assert {"compare_editions", "report_editions", "write_edition_manifest"} <= compared
    assert not compared & {"validate_sorts", "count_cooccurrence"}
    assert jobs(project) == set()  # the setting is back


@pytest.mark.parametrize(
    ("block", "first", "untouched"),
    [
        ("screening: {all_apart: false}", {"count_cooccurrence"}, {"validate_sorts"}),
        (
            "tiers: {classes: 4}",
            {"compare_populations", "gather_replicates"},
            {"validate_sorts", "count_cooccurrence"},
        ),
    ],
)
def test_another_screening_or_number_of_classes_of_one_edition_runs_what_reads_it(
    project, block, first, untouched
):
    def ran_for(*results):
        own = f"per_study: {{{STUDY}: {{{block}}}}}\n"
        return jobs_after_edit(project, "small.yaml", lambda text: text + own, *results)

    tiers = {study: f"results/{study}/tiers/data_only.csv" for study in (STUDY, LATER)}
    assert first <= ran_for(tiers[STUDY], f"results/{STUDY}/validation/stability.json")
    assert ran_for(tiers[LATER]) == set()
    compared = ran_for(f"results/editions/{STUDY}--{LATER}/manifest.json")
    assert {"compare_editions", "report_editions", "write_edition_manifest"} <= compared
    assert not compared & untouched
    assert jobs(project) == set()  # the setting is back


def test_what_is_set_for_one_edition_is_how_it_is_made_and_compared(project, tmp_path):
    # one person left a term of twelve unplaced, so a share of a twentieth leaves one more out
    own = "{screening: {too_many_unplaced: {share: 0.05}}, tiers: {classes: 4}}"
    swapped = tmp_path / "felloe"
    shutil.copytree(project, swapped, symlinks=True)
    with open(swapped / "small.yaml", "a", encoding="utf-8") as settings:
        settings.write(f"per_study: {{{STUDY}: {own}}}\n")

    def compared(folder):
        path = folder / f"results/editions/{STUDY}--{LATER}/comparison.json"
        record = json.loads(path.read_text(encoding="utf-8"))
        return [
            (record[side]["n_participants"], record["tiers"]["data_only"]["class"][f"n_{side}"])
            for side in ("older", "newer")
        ]

    (people, classes), newer = compared(project)
    assert (people, classes) == newer
    assert classes == 3  # small_study.SETTINGS
    engine(swapped, f"results/editions/{STUDY}--{LATER}/comparison.json")
    assert compared(swapped) == [(people - 1, 4), newer]


def test_what_all_have_anyway_set_for_one_edition_runs_no_computation(project):
    own = f"per_study: {{{STUDY}: {{clustering: {{linkage: average}}}}}}\n"
    ran = jobs_after_edit(project, "small.yaml", lambda text: text + own)
    assert ran == MANIFEST


def test_figures_as_pdf_too_run_only_who_draws_and_who_shows_or_hashes_them(project):
    ran = jobs_after_edit(project, "small.yaml", lambda text: text + "figures: {pdf: true}\n")
    drawing = {"draw_evidence", "draw_populations", "draw_editions"}
    assert ran == {*drawing, "report_editions", *MANIFEST}
    assert jobs(project) == set()  # the setting is back


def test_other_prices_run_only_who_tells_them(project):
    ran = jobs_after(project, "tiers/move_fits.py", lambda text: text + "\nADDED = 1\n")
    assert ran == {"price_moves", "write_hand_off", *MANIFEST}


@pytest.mark.parametrize(
    "stage",
    "validation matrices comparison clustering tiers sensitivity circle colours".split(),
)
def test_a_changed_meaning_of_a_column_runs_only_the_workbook(project, stage):
    ran = jobs_after(project, f"{stage}/tables.py", lambda text: MEANING.sub(r"\1Now ", text, 1))
    assert ran == {"write_hand_off", *MANIFEST}
