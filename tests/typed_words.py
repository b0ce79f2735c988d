"""Words of collecting as typed, what a refusal says, and a disk that fills up."""

from felloe.ground.files import writing
from felloe.launching.collecting_words import gather as gather_word
from felloe.launching.collecting_words import kit as kit_word
from felloe.launching.collecting_words import withdraw as withdraw_word
from kit_example import STUDY
from study_folder import bytes_of


def typed(word, *more, study=STUDY):
    """Type a word for the study and its settings; return the exit status."""
    return word([study, *more, "--configfile", "mine.yaml"])


def kit(*more):
    return typed(kit_word.main, *more)


def gather(*more):
    return typed(gather_word.main, *more)


def withdraw(person, study=STUDY):
    return typed(withdraw_word.main, person, study=study)


def refusal(capsys, folder, word, *more):
    """Return what a refusal says; nothing may have been written below the folder."""
    before = bytes_of(folder)
    capsys.readouterr()
    assert word(*more) == 1
    assert bytes_of(folder) == before
    said = capsys.readouterr()
    assert word is gather or said.out == ""  # `gather` tells who has answered all the same
    assert "Traceback" not in said.err
    assert len(said.err.splitlines()) < 20
    return said.err


def fill_disk(patched, module, files):
    """Let the disk be full once a module has written some files; return how many more fit."""
    left = [files]

    def write(path, data):
        left[0] -= 1
        if left[0] < 0:
            raise OSError(28, "No space left on device", str(path))
        writing.write_bytes(path, data)

    patched.setattr(module, "write_bytes", write)
    if hasattr(module, "write_text"):
        patched.setattr(module, "write_text", lambda path, text: write(path, text.encode()))
    return left
