"""Settings put over others: a user's over the defaults, a preview's and one study's over all."""

import copy
from collections.abc import Mapping
from typing import Any

from felloe.ground.preview import lowered

Settings = dict[str, Any]

REPLACED_WHOLE = ("studies", "editions")


def merged(defaults: Mapping[str, Any], overrides: Mapping[str, Any]) -> Settings:
    """Return `defaults` with the keys of `overrides` put over them, block by block."""
    result = copy.deepcopy(dict(defaults))
    for key, value in overrides.items():
        if (
            key not in REPLACED_WHOLE
            and isinstance(value, dict)
            and isinstance(result.get(key), dict)
        ):
            result[key] = merged(result[key], value)
        else:
            result[key] = copy.deepcopy(value)
    return result


def previewed(settings: Settings) -> Settings:
    """
    Return settings with what their block `quick` names put over them; twice is the same as once.

    A number becomes the smaller of the two; of a list that stays which `quick` names too, or its
    first entry.
    """
    result = copy.deepcopy(settings)
    for block, overrides in settings["quick"].items():
        for key, most in overrides.items():
            result[block][key] = lowered(result[block][key], most)
    return result


def of_study(settings: Mapping[str, Any], study: str) -> Settings:
    """Return the settings as they are for one study, with what is set for it alone."""
    result = folded_in(settings, study)
    named = result.pop("crosswalks", {}).get(study)
    return result | ({"crosswalk": named} if named else {})


def folded_in(settings: Mapping[str, Any], study: str) -> Settings:
    """Return the settings with what `per_study` has for one study."""
    own = settings.get("per_study", {}).get(study, {})
    result = merged({k: v for k, v in settings.items() if k != "per_study"}, own)
    return previewed(result) if settings["preview"] else result
