"""A small study of ten terms, ways to change it, and calls that have to be refused."""

import os
import subprocess
import sys

from workflow.conftest import ROOT, run_felloe

TERMS = ["brine", "crisp", "dill", "garlic", "hay", "lactic", "mustard", "smoke", "sour", "yeast"]
SETTINGS = """
studies: {small: small}
bootstrap: {replicates: 100, parts: 1, null_replicates: 10}
comparison: {permutations: 99, shape_permutations: 99, splits: 20}
"""
LONE = "studies: {small: small}\n"
SCREEN = 60  # lines


def write_study(folder):
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
    def change(study):
        path = study / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, count), encoding="utf-8")

    return change


def bare_snakemake(*typed, cwd):
    """Call Snakemake without the launcher; return what it said and its exit status."""
    command = [sys.executable, "-m", "snakemake", "--snakefile", str(ROOT / "Snakefile")]
    variables = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    return subprocess.run(
        [*command, "--cores", "1", *typed],
        cwd=cwd,
        env=variables,
        capture_output=True,
        text=True,
        timeout=300,
    )


def refused(folder, *typed, call=run_felloe, status=1):
    finished = call(*typed, cwd=folder)
    said = finished.stdout + finished.stderr
    assert finished.returncode == status
    assert "Traceback" not in said
    assert len(said.splitlines()) <= SCREEN
    return said
