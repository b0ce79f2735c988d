"""What surrounds a run changes no byte: folder, time zone, language, Python's switches, taste."""

import os
import stat
import subprocess
import sys

from small_study import SETTINGS, STUDY, write_small_study
from workflow.conftest import RUN
from workflow.test_interruptions import assert_same

TASTE = "font.size: 20\nfont.family: serif\naxes.facecolor: red\nsvg.hashsalt: mine\n"
ODD = {
    "TZ": "Pacific/Kiritimati",
    "LC_ALL": "C",
    "LANG": "tr_TR.ISO-8859-9",
    "PYTHONHASHSEED": "11",
    "PYTHONOPTIMIZE": "2",  # no docstrings, which a library needs
    "PYTHONDONTWRITEBYTECODE": "1",
    "PYTHONIOENCODING": "latin-1",
    "SOURCE_DATE_EPOCH": "86400",
    "OPENBLAS_CORETYPE": "Nehalem",
    "OPENBLAS_NUM_THREADS": "3",
    "COLUMNS": "20",
    "MPLBACKEND": "svg",
}


def test_two_runs_in_different_surroundings_give_the_same_bytes(tmp_path, small_results):
    folder = tmp_path / "Möhren und 'Rüben'"
    write_small_study(folder / STUDY)
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    for name in ("matplotlibrc", "taste"):
        (folder / name).write_text(TASTE, encoding="utf-8")
    variables = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    variables.update(ODD, MATPLOTLIBRC=str(folder / "taste"))
    finished = subprocess.run(
        [sys.executable, str(RUN), "--configfile", "small.yaml", "--directory", ".", "-c1"],
        cwd=folder,
        env=variables,
        umask=0o077,
        capture_output=True,
        encoding="utf-8",
        timeout=600,
    )
    assert finished.returncode == 0, finished.stdout + finished.stderr
    assert_same(folder, small_results)
    # with such a umask people's data are nobody else's
    made = list((folder / "results").rglob("*"))
    assert [path for path in made if stat.S_IMODE(path.stat().st_mode) & 0o077] == []
