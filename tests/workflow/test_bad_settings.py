"""Bad settings and wrong commands: told in a line that cures, and nothing is made."""

import pytest
from ten_terms import LONE, SETTINGS, bare_snakemake, refused, typed, write_work
from workflow.test_demo import hashes


@pytest.mark.parametrize("line", ["seed: 1\nseed: 2\n", "circle: {class_gap: .nan}\n"])
def test_without_the_launcher_settings_are_read_as_strictly(tmp_path, line):
    write_work(tmp_path, "mine.yaml", SETTINGS + line)
    said = refused(tmp_path, *typed("mine.yaml"), call=bare_snakemake)
    assert "mine.yaml, line" in said


# what a settings file holds, and what is said of it
FAULTY_SETTINGS = {
    "a date that is none": (LONE + "seed: 2026-02-30\n", ["line 2", "seed", "date"]),
    "5,000 digits": (LONE + "seed: " + "9" * 5000 + "\n", ["line 2", "at most 30 characters"]),
    "3,000 brackets": (LONE + "seed: " + "[" * 3000 + "\n", ["line 2", "brackets"]),
    "aliases that multiply": (
        "a0: &a0 {x: 1}\n"
        + "".join(
            f"a{n}: &a{n} {{{', '.join(f'k{k}: *a{n - 1}' for k in range(10))}}}\n"
            for n in range(1, 12)
        ),
        ["line 2", "alias"],
    ),
    "no number": (LONE + "circle: {class_gap: .nan}\n", ["line 2", "circle.class_gap"]),
    "a number for a name": ("studies:\n  2026: small\n", ["line 2", "in quotes, '2026'", "name"]),
    "a truth value for a name": ("studies:\n  no: small\n", ["line 2", "in quotes, 'no'", "name"]),
    "two pairs with one path": (
        "studies: {a: small, b--c: small, a--b: small, c: small}\n"
        "editions: [[a, b--c], [a--b, c]]\n",
        ["editions.0", "results/editions/a--b--c", "Rename"],
    ),
}


@pytest.mark.parametrize(
    ("fault", "shown"),
    # without the check before it the engine ends in tracebacks, also where it only shows
    [*((fault, []) for fault in FAULTY_SETTINGS), ("5,000 digits", ["-n"])],
)
def test_faulty_settings_are_one_line_that_cures(fault, shown, tmp_path):
    text, parts = FAULTY_SETTINGS[fault]
    write_work(tmp_path, "s.yaml", text)
    before = hashes(tmp_path)
    (told,) = refused(tmp_path, *typed("s.yaml"), *shown).splitlines()
    assert told.startswith("s.yaml, ")
    assert len(told) < 400
    for part in parts:
        assert part in told
    assert hashes(tmp_path) == before


# what is typed, and what is said of it
WRONG_COMMANDS = {
    "a settings file without its option": (["s.yaml"], "run --configfile s.yaml"),
    "a folder that is not there": (
        ["--configfile", "s.yaml", "--directory", "my/words"],
        "mkdir -p my/words",
    ),
    "a mistyped folder": (["--configfile", "s.yaml", "--directory", "smal"], "Did you mean small?"),
}


@pytest.mark.parametrize("case", WRONG_COMMANDS)
def test_a_wrong_command_line_ends_with_status_2_and_makes_nothing(case, tmp_path):
    asked, words = WRONG_COMMANDS[case]
    write_work(tmp_path, "s.yaml")
    before = sorted(tmp_path.rglob("*"))
    (told,) = refused(tmp_path, *asked, status=2).splitlines()
    assert words in told
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("place", [".snakemake", "results", "results/small"])
def test_what_stands_where_a_run_has_to_write_is_told_before_it_starts(place, tmp_path):
    write_work(tmp_path, "s.yaml")
    (tmp_path / place).parent.mkdir(exist_ok=True)
    (tmp_path / place).write_text("of another kind\n", encoding="utf-8")
    before = hashes(tmp_path)
    (told,) = refused(tmp_path, *typed("s.yaml")).splitlines()
    assert told.startswith(f"{place}: is no folder")
    assert "--directory" in told
    assert hashes(tmp_path) == before


def test_a_missing_study_folder_is_told(tmp_path):
    (tmp_path / "mine.yaml").write_text("studies: {mine: nowhere}\n", encoding="utf-8")
    said = refused(tmp_path, *typed("mine.yaml"))
    assert "nowhere" in said
    assert not (tmp_path / "results").exists()


def test_an_unknown_key_is_told_with_the_nearest_known_one(tmp_path):
    write_work(tmp_path, "mine.yaml", SETTINGS + "clusterign: {linkage: ward}\n")
    said = refused(tmp_path, *typed("mine.yaml"))
    assert "clusterign" in said
    assert "clustering" in said


def test_a_settings_file_that_is_not_there_is_told(tmp_path):
    assert "none.yaml" in refused(tmp_path, "--configfile", "none.yaml", status=2)


def test_settings_that_are_no_yaml_are_told_with_their_line(tmp_path):
    (tmp_path / "mine.yaml").write_text("seed: 1\nstudies: [\n", encoding="utf-8")
    said = refused(tmp_path, "--configfile", "mine.yaml")
    assert "mine.yaml, line" in said
