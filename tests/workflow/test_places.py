"""The command works from any folder, and in a project whose own path holds blanks."""

import shutil
import subprocess
import sys

from workflow.conftest import ROOT

PARTS = ["Snakefile", "config", "workflow", "scripts", "demo_data", "requirements.lock"]
TARGET = "results/brine-2016/validation/flow.csv"


def test_a_project_in_a_folder_with_blanks_runs_from_anywhere(tmp_path):
    project = tmp_path / "our vocabulary" / "felloe"
    project.mkdir(parents=True)
    for part in PARTS:
        copy = shutil.copytree if (ROOT / part).is_dir() else shutil.copy
        copy(ROOT / part, project / part)
    (project / ".venv").symlink_to(ROOT / ".venv")
    elsewhere = tmp_path / "some where"
    elsewhere.mkdir()
    finished = subprocess.run(
        [sys.executable, str(project / "scripts" / "run"), TARGET],
        cwd=elsewhere,
        capture_output=True,
        text=True,
    )
    assert finished.returncode == 0, finished.stdout + finished.stderr
    assert (project / TARGET).stat().st_size > 0
    assert list(elsewhere.iterdir()) == []
