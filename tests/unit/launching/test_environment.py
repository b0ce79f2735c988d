"""The environment: made from this lock, whole, and never taken from under a run."""

import os
import shutil
import sys
import threading
from pathlib import Path

import pytest
from felloe.launching.setup import environment
from felloe.launching.setup.claims import claimed
from felloe.launching.setup.environment import LaunchError, ensured, fingerprint
from felloe.launching.setup.making import python_of

OTHER_PYTHON = "/opt/another/bin/python3"


def lay(home, python=None):
    """Make what `python -m venv` and pip leave, on a small scale."""
    packages = home / "lib" / "python{}.{}".format(*sys.version_info) / "site-packages"
    for name in ("numpy/core", "numpy-2.0.dist-info", "__pycache__"):
        (packages / name).mkdir(parents=True)
    (packages / "numpy" / "__init__.py").touch()
    (packages / "six.py").touch()
    python_of(home).parent.mkdir()
    python_of(home).touch(mode=0o755)
    maker = os.path.realpath(python or sys.executable)
    (home / "pyvenv.cfg").write_text(f"home = /usr/bin\nexecutable = {maker}\n", encoding="utf-8")


@pytest.fixture
def root(tmp_path, monkeypatch):
    """A project in which an environment is made in no time; its `made` lists which were."""
    (tmp_path / "requirements.lock").write_text("a==1\n", encoding="utf-8")
    made = []

    def make(root, home, say):
        shutil.rmtree(home, ignore_errors=True)
        lay(home)
        made.append(home.name)

    monkeypatch.setattr(environment, "make", make)
    monkeypatch.setattr(environment, "USED", [])
    yield tmp_path, made
    for claim in environment.USED:
        claim.close()


def ended():
    """Do what the end of the launcher does: it uses nothing any more."""
    for claim in environment.USED:
        claim.close()
    environment.USED.clear()


def test_the_environment_is_made_once(root):
    place, made = root
    assert ensured(place, print) == ensured(place, print) == python_of(place / ".venv")
    assert made == [".venv"]


def test_another_lock_is_another_environment_in_the_same_place(root):
    place, made = root
    ensured(place, print)
    ended()
    (place / "requirements.lock").write_text("a==2\n", encoding="utf-8")
    assert ensured(place, print) == python_of(place / ".venv")
    assert made == [".venv", ".venv"]


def test_an_environment_in_use_is_left_alone_though_the_lock_changed(root):
    place, made = root
    ensured(place, print)
    (place / "requirements.lock").write_text("a==2\n", encoding="utf-8")
    python = ensured(place, print)
    assert (made[0], len(made)) == (".venv", 2)
    assert python.parents[1].name.startswith(".venv.python")
    assert (place / ".venv" / "lib").is_dir()


def test_the_environment_of_another_python_is_left_alone(root):
    place, made = root
    lay(place / ".venv", OTHER_PYTHON)
    (place / ".venv" / "made-from").write_text("of another\n", encoding="utf-8")
    beside = ensured(place, print)
    assert ensured(place, print) == beside
    assert len(made) == 1
    assert made[0].startswith(".venv.python")
    assert (place / ".venv" / "made-from").read_text(encoding="utf-8") == "of another\n"


def test_of_the_environments_beside_the_last_one_stays(root):
    place, made = root
    lay(place / ".venv", OTHER_PYTHON)
    lay(place / ".venv.python3.1-others", OTHER_PYTHON)
    for text in ("a==1\n", "a==2\n"):
        (place / "requirements.lock").write_text(text, encoding="utf-8")
        ensured(place, print)
        ended()
    assert {path.name for path in place.glob(".venv.python*")} == {
        ".venv.python3.1-others",
        made[1],
    }


def test_an_environment_behind_a_link_is_not_made_anew(root, tmp_path_factory):
    place, made = root
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "environment"
    lay(elsewhere)
    (place / ".venv").symlink_to(elsewhere)
    ensured(place, print)
    assert made[0].startswith(".venv.python")
    assert (elsewhere / "pyvenv.cfg").exists()


@pytest.mark.parametrize(
    "lost", ["numpy", "numpy/core", "numpy-2.0.dist-info", "six.py", "made-from", "python"]
)
def test_a_damaged_environment_is_made_anew(root, lost):
    place, made = root
    python = ensured(place, print)
    ended()
    packages = next((place / ".venv" / "lib").glob("*/site-packages"))
    paths = {"made-from": place / ".venv" / "made-from", "python": python}
    path = paths.get(lost, packages / lost)
    (shutil.rmtree if path.is_dir() else os.unlink)(path)
    ensured(place, print)
    assert made == [".venv", ".venv"]
    assert path.exists()


def test_compiled_files_may_go_and_further_packages_may_come(root):
    place, made = root
    ensured(place, print)
    packages = next((place / ".venv" / "lib").glob("*/site-packages"))
    (packages / "__pycache__").rmdir()
    (packages / "mine.py").touch()
    ensured(place, print)
    assert made == [".venv"]


def test_an_environment_from_before_contents_were_noted_is_taken(root):
    place, made = root
    lay(place / ".venv")
    (place / ".venv" / "made-from").write_text(f"{fingerprint(place)}\n", encoding="utf-8")
    assert ensured(place, print) == python_of(place / ".venv")
    assert made == []


def test_of_two_launchers_at_once_one_makes_the_environment(root, monkeypatch):
    place, made = root
    quick = environment.make
    begun = threading.Event()

    def slow(root, home, say):
        begun.set()
        second.start()
        second.join(0.3)  # it waits for us, not we for it
        quick(root, home, say)

    said = []
    second = threading.Thread(target=ensured, args=(place, said.append))
    monkeypatch.setattr(environment, "make", slow)
    ensured(place, print)
    second.join()
    assert begun.is_set()
    assert "waits for it" in said[0]
    assert made == [".venv"]


def test_a_damaged_environment_that_is_in_use_is_said_to_be(root):
    place, _ = root
    beside = place / f".venv.python{sys.version_info[0]}.{sys.version_info[1]}-"
    beside = Path(f"{beside}{fingerprint(place)[:8]}")
    lay(place / ".venv", OTHER_PYTHON)
    lay(beside)
    with claimed(beside, shared=True), pytest.raises(LaunchError, match="another run uses it"):
        ensured(place, print)


@pytest.mark.skipif(not os.geteuid(), reason="root may write anywhere")
def test_an_environment_in_a_folder_that_cannot_be_written_in_is_used(root):
    place, _ = root
    ensured(place, print)
    ended()
    for folder in (place, place / ".venv"):
        folder.chmod(0o555)
    try:
        assert ensured(place, print) == python_of(place / ".venv")
    finally:
        for folder in (place, place / ".venv"):
            folder.chmod(0o755)


def test_a_failed_attempt_is_not_taken_for_whole(root, monkeypatch):
    place, made = root

    def fail(root, home, say):
        lay(home)
        raise LaunchError("no network")

    quick = environment.make
    monkeypatch.setattr(environment, "make", fail)
    with pytest.raises(LaunchError, match="no network"):
        ensured(place, print)
    monkeypatch.setattr(environment, "make", quick)
    ensured(place, print)
    assert made == [".venv"]


def test_an_environment_that_cannot_be_filled_is_said_in_words(tmp_path):
    (tmp_path / "requirements.lock").write_text("no-such-thing @ nowhere://x\n", encoding="utf-8")
    said = []
    with pytest.raises(LaunchError, match="Installing the packages failed") as failed:
        ensured(tmp_path, said.append)
    assert "nowhere://x" in str(failed.value)  # in pip's words
    assert not (tmp_path / ".venv" / "made-from").exists()
    assert "takes about a minute" in said[0]
