"""A small study of ten terms, ways to change it, and calls that have to be refused."""

from called import called
from workflow.conftest import ROOT, run_felloe

TERMS = ["brine", "crisp", "dill", "garlic", "hay", "lactic", "mustard", "smoke", "sour", "yeast"]
SETTINGS = """
studies: {small: small}
bootstrap: {replicates: 100, parts: 1, null_replicates: 10}
comparison: {permutations: 99, shape_permutations: 99, splits: 20}
"""
LONE = "studies: {small: small}\n"
SCREEN = 60  # lines


def typed(settings):
    """Return the words that a run in its own folder takes, by the name of its settings file."""
    return ("--configfile", settings, "--directory", ".")


def write_work(folder, name, settings=LONE):
    """Write the study and, beside it, a settings file of a name."""
    write_study(folder / "small")
    (folder / name).write_text(settings, encoding="utf-8")


def write_study(folder):
    """Write a study's folder: ten terms, sorted by sixteen people of two populations."""
    folder.mkdir()
    (folder / "study.yaml").write_text(
        "title: Small\nedition: 2026\ninstruction: Put together what belongs together.\n"
        "populations: {makers: Makers, panel: Panel}\n",
        encoding="utf-8",
    )
    lines = ["term,label,definition,reference,caution"]
    lines += [f"{term},{term.title()},a definition,a reference,none known" for term in TERMS]
    (folder / "terms.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    people = [(f"p{n:02d}", "makers" if n % 2 else "panel") for n in range(16)]
    lines = ["participant,population", *(",".join(person) for person in people)]
    (folder / "participants.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    lines = ["participant,term,pile"]
    for n, (person, _) in enumerate(people):
        lines += [
            f"{person},{term},{1 + (i + (n * i) % 3) % (3 + n % 3)}" for i, term in enumerate(TERMS)
        ]
    (folder / "sorts.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def replaced(name, old, new, count=1):
    """Return a change: another wording in a file of the study."""

    def change(study):
        path = study / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, count), encoding="utf-8")

    return change


def bare_snakemake(*words, cwd):
    """Call Snakemake without the launcher; return what it said and its exit status."""
    command = ["-m", "snakemake", "--snakefile", ROOT / "Snakefile", "--cores", "1"]
    return called(*command, *words, cwd=cwd, timeout=300)


def refused(folder, *words, call=run_felloe, status=1):
    """Refuse what was typed, on one screen and without a traceback; return what was said."""
    finished = call(*words, cwd=folder)
    said = finished.stdout + finished.stderr
    assert finished.returncode == status
    assert "Traceback" not in said
    assert len(said.splitlines()) <= SCREEN
    return said
