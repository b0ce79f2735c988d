"""`consent.md`: what people are told, or the statement that there is none; else no kit."""

import random

import pytest
from felloe.collecting.asked import Consent
from felloe.collecting.kit.consent import differing, read_consent
from kit_example import CONSENT, GERMAN


def read(tmp_path, text, language=""):
    name = f"consent.{language}.md" if language else "consent.md"
    data = text if isinstance(text, bytes) else text.encode()
    (tmp_path / name).write_bytes(data)
    return read_consent(tmp_path, language)


def test_keys_and_text_are_taken_over_as_they_stand(tmp_path):
    found = read(tmp_path, CONSENT)
    assert found.faults == []
    assert found.consent == Consent(
        True,
        "The guild revises its vocabulary.",
        "Your piles, under a code.",
        "Write to the secretary at any time.",
        "Secretary of the guild",
        "Taking part is voluntary.\nIt takes an hour.\n\nYou may stop.",
        True,
    )


@pytest.mark.parametrize("change", ["\r\n", "\r"])
def test_line_ends_and_a_mark_at_the_start_change_nothing(tmp_path, change):
    other = read(tmp_path, b"\xef\xbb\xbf" + CONSENT.replace("\n", change).encode())
    assert other.consent == read(tmp_path, CONSENT).consent


@pytest.mark.parametrize("text", ["no consent text", "\nno consent text\r\n"])
def test_that_there_is_no_text_may_be_said(tmp_path, text):
    found = read(tmp_path, text)
    assert found.faults == []
    assert found.consent == Consent(False)


def test_a_missing_file_is_named_with_both_cures(tmp_path):
    (fault,) = read_consent(tmp_path).faults
    assert fault.file.endswith("consent.md")
    assert "missing" in fault.problem
    assert "purpose, stored, withdraw, contact" in fault.remedy
    assert "no consent text" in fault.remedy


BAD = {
    "no fence": (CONSENT[4:], 1, "does not start with a line ---"),
    "one fence": (CONSENT.replace("yes\n---", "yes\n"), 1, "no second line ---"),
    "empty": ("", 0, "is empty"),
    "blank": (" \n\n", 0, "is empty"),
    "no consent texts": ("no consent texts", 1, "does not start"),
    "not UTF-8": (CONSENT.encode() + b"\xff", 12, "is not UTF-8"),
    "a key gone": (CONSENT.replace("stored", "kept"), 3, "is not a known key"),
    "a key twice": (CONSENT.replace("contact:", "stored: a\ncontact:"), 5, "stands twice"),
    "an empty key": (CONSENT.replace(" Secretary of the guild", ""), 5, "is empty"),
    "a null": (CONSENT.replace("Secretary of the guild", "~"), 5, "is empty"),
    "a list": (CONSENT.replace("Secretary of the guild", "[a, b]"), 5, "more than one text"),
    "perhaps": (CONSENT.replace("yes", "perhaps"), 6, "neither yes nor no"),
    "an alias": (CONSENT.replace("Secretary of the guild", "*a"), 5, "alias"),
    "a tag": (CONSENT.replace("Secretary of the guild", "!x a"), 5, "tag"),
    "no mapping": ("---\na\n---\n", 1, "holds no keys"),
    "a control": (CONSENT.replace("voluntary", "\x07"), 8, "invisible control character"),
    "in study.yaml": (GERMAN, 2, "stands in study.yaml"),
    "long": (CONSENT.replace("Your piles", "y" * 5000), 3, "the most is 4000"),
    "longer": (CONSENT + "a " * 20_000, 8, "the most is 20,000"),
    "longest": (CONSENT + "a" * (1 << 18), 0, "is longer than"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_fault_is_named_with_its_line_and_a_cure(tmp_path, name):
    text, line, problem = BAD[name]
    faults = read(tmp_path, text).faults
    assert [fault for fault in faults if fault.line == line and problem in fault.problem], faults
    assert all(fault.remedy for fault in faults)


@pytest.mark.parametrize("key", ["purpose", "stored", "withdraw", "contact", "minutes"])
def test_every_key_is_needed(tmp_path, key):
    text = "\n".join(line for line in CONSENT.split("\n") if not line.startswith(key))
    (fault,) = read(tmp_path, text).faults
    assert fault.problem == f"the key '{key}' is missing"


def test_a_translation_has_the_instruction_too(tmp_path):
    found = read(tmp_path, GERMAN, "de")
    assert found.faults == []
    assert found.instruction == "Legen Sie zusammen, was passt."
    (fault,) = read(tmp_path, CONSENT, "de").faults
    assert fault.problem == "the key 'instruction' is missing"


def test_a_translation_may_have_a_title_and_the_own_text_none(tmp_path):
    titled = GERMAN.replace("instruction:", "title: Wörter der Lake\ninstruction:")
    assert read(tmp_path, titled, "de").title == "Wörter der Lake"
    (fault,) = read(tmp_path, CONSENT.replace("purpose:", "title: Words\npurpose:")).faults
    assert fault.problem == "stands in study.yaml"


def test_a_translation_of_no_text_has_the_instruction_alone(tmp_path):
    found = read(tmp_path, "---\ninstruction: Bitte.\n---\nno consent text\n", "de")
    assert (found.faults, found.instruction, found.consent) == ([], "Bitte.", Consent(False))


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (GERMAN.replace("yes", "no"), "is not what consent.md says"),
        (GERMAN[: GERMAN.index("Taking")], "has a text below the keys"),
        ("---\ninstruction: Bitte.\n---\nno consent text\n", "says 'no consent text'"),
    ],
)
def test_translations_promise_the_same(tmp_path, text, problem):
    own, other = read(tmp_path, CONSENT), read(tmp_path, text, "de")
    assert not own.faults + other.faults
    (fault,) = differing(own, other)
    assert problem in fault.problem
    assert fault.file.endswith("consent.de.md")
    assert differing(own, read(tmp_path, GERMAN, "de")) == []


def mutated(rng):
    """Return the file with a few bytes changed, doubled or gone, or a piece moved."""
    data = bytearray(CONSENT.encode())
    for _ in range(rng.randint(1, 6)):
        at = rng.randrange(len(data))
        way = rng.randrange(4)
        if way == 0:
            data[at] = rng.choice(b"\x00\xff:{}[]&*!|>#\t\n-'\"%@`~,?")
        elif way == 1:
            del data[at : at + rng.randint(1, 30)]
        elif way == 2:
            data[at:at] = data[at : at + rng.randint(1, 30)]
        else:
            data[at:at] = rng.choice(
                [b"---\n", b"\r", "\u202e".encode(), b": ", b"\n\n", b"<<: *a"]
            )
        data = data or bytearray(b"-")
    return bytes(data)


@pytest.mark.parametrize("seed", range(300))
def test_a_damaged_file_is_whole_or_has_faults_with_cures(tmp_path, seed):
    found = read(tmp_path, mutated(random.Random(seed)))
    assert all(fault.problem and fault.remedy for fault in found.faults)
    if not found.faults:
        consent = found.consent
        assert consent.given
        assert all((consent.purpose, consent.stored, consent.withdraw, consent.contact))
