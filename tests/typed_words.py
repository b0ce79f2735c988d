"""Words of collecting typed for a study in the working folder, and what any word's refusal says."""

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
