"""A small study as it is frozen, and the same with one setting changed."""

import copy

from felloe.validation.protocol import protocol_of

ABOUT = {
    "title": "Words",
    "edition": "2031",
    "instruction": "Put like together.",
    "populations": {"panel": "Panel", "makers": "Makers"},
}
TERMS = [
    {"term": "oak", "label": "Oak", "definition": "A tree.", "width": float("nan")},
    {"term": "ash", "label": "Ash\u00e9", "definition": "", "width": 1.5},
]
SETTINGS = {
    "seed": 7,
    "studies": {"guild": "here/guild"},
    "editions": [["before", "guild", "after"]],
    "comparison": {"margins": {"alpha": 0.05}},
    "tiers": {"classes_range": [6, 12]},
    "bootstrap": {"replicates": 100, "parts": 2},
    "preview": False,
    "quick": {"bootstrap": {"replicates": 9}},
}
ELM = {"term": "elm", "label": "Elm", "definition": ""}


def made(about=ABOUT, terms=TERMS, settings=SETTINGS, study="guild", version="1.2"):
    return protocol_of(study, about, terms, settings, version)


def with_setting(key, value):
    settings = copy.deepcopy(SETTINGS)
    *above, last = key.split(".")
    found = settings
    for part in above:
        found = found[part]
    found[last] = value
    return settings
