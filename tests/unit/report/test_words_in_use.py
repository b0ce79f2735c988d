"""Every text in the files of words is shown somewhere; nobody translates what nobody reads."""

import ast
import re

import pytest
from felloe.provenance import LIBRARY
from felloe.report.languages.language_words import texts_of
from felloe.tiers.placement import DOUBTFUL, FIRM, UNDECIDED

# some texts are found by the status of a term, or by what a card says of its status
STATUSES = (FIRM, DOUBTFUL, UNDECIDED, "moved", "gives_name")
GROUPS = sorted({key.partition(".")[0] for key in texts_of("en")})
COUNTED = re.compile(r"\.(?:one|many)$")


def constants(tree):
    """Yield the strings of a module as patterns; what an f-string fills in may be anything."""
    filled = [node for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)]
    within = {id(part) for node in filled for part in node.values}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield "".join(
                re.escape(part.value) if isinstance(part, ast.Constant) else r"[\w.]+"
                for part in node.values
            )
        elif isinstance(node, ast.Constant) and id(node) not in within:
            yield re.escape(str(node.value))


def strings(path):
    """Return the strings of a module, template or script, as patterns."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        return set(constants(ast.parse(text)))
    quoted = re.findall(r"""["']([\w.]+)["']""", text)
    if path.suffix == ".j2":
        return {re.escape(each) for each in quoted}
    # a script has its sentences as `words.name`, `words["in_" + name]`, or by a name in quotes
    names = re.findall(r"words\.(\w+)", text)
    starts = re.findall(r'words\["(\w+)" \+', text)
    group = "ballot" if path.parent.name == "ballot" else "page"
    said = quoted if group == "ballot" else []
    names += [*said, *(rf"{each}\w+" for each in starts)]
    return {rf"{group}\.script\.{name}" for name in names}


ROOMS = {}
WHERE = [LIBRARY / "report", LIBRARY / "collecting", LIBRARY / "editions"]
for each in sorted(path for place in WHERE for path in place.rglob("*")):
    if each.suffix in (".py", ".j2", ".js"):
        ROOMS.setdefault(each.parent.name, set()).update(strings(each))
ROOMS["statuses"] = {rf"status\.{each}" for each in STATUSES} | {
    rf"cards\.{each}(?:_means)?" for each in STATUSES
}
GENERIC = re.compile(r"\w+\\\.\[\\w\.\]\+")  # a group, and whatever is filled in


def used(key, found):
    """Return whether a room that asks for a group's keys has the words that make this one."""
    group, _, rest = key.partition(".")
    whole = {each for each in found if each.startswith(rf"{group}\.")}
    if any(re.fullmatch(each, key) for each in whole if not GENERIC.fullmatch(each)):
        return True
    asked = any(GENERIC.fullmatch(each) for each in whole)
    return asked and any(re.fullmatch(each, rest) for each in found if re.match(r"\w{3}", each))


@pytest.mark.parametrize("group", GROUPS)
def test_every_text_is_used(group):
    keys = [key for key in texts_of("en") if key.startswith(f"{group}.")]
    ways = {key: {key, COUNTED.sub("", key)} for key in keys}
    assert [
        key
        for key in keys
        if not any(used(way, found) for way in ways[key] for found in ROOMS.values())
    ] == []


@pytest.mark.parametrize(
    "key", ["page.members_all", "page.script.in", "cards.firmly", "sheet.peg_"]
)
def test_a_text_that_nobody_shows_would_be_found(key):
    assert not any(used(key, found) for found in ROOMS.values())
