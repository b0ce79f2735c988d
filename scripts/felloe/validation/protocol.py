"""What is fixed before the data are seen, and where a later run departs from it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.ground.edition_lists import pairs_of
from felloe.ground.files.numbers import is_blank
from felloe.ground.files.tables import Row
from felloe.ground.preview import lowered

Protocol = Mapping[str, Any]

FORMAT = "felloe-protocol/1"
KEYS = (
    "data_seen",
    "edition",
    "felloe",
    "format",
    "instruction",
    "populations",
    "settings",
    "study",
    "terms",
    "title",
)
COMPARED = ("felloe", "study", "title", "edition", "instruction")  # each a text


@dataclass(frozen=True)
class Departure:
    """
    One point in which a run is not what was frozen.

    Attributes
    ----------
    what : str
        A setting's dotted key, or `instruction`, `terms.t07.label`, `populations.panel` ...
    frozen, now : object
        None where there is nothing.
    """

    what: str
    frozen: Any
    now: Any


# Settings that came later, at the value that changes nothing in studies of a usual size: so left,
# they are no departure from a protocol frozen before there were any.
SINCE: dict[str, dict[str, Any]] = {
    "comparison": {"people_at_most": 1000},
    "map": {"most_pairs": 50_000},
    "figures": {"pdf": False},
}


def without_later(settings: Mapping[str, Any]) -> dict[str, Any]:
    """Return settings less those of `SINCE` that are as they are told there."""
    found = dict(settings)
    for block, later in SINCE.items():
        if block in found:
            own = found[block].items()
            found[block] = {k: v for k, v in own if k not in later or v != later[k]}
            if not found[block]:  # it came later as a whole
                del found[block]
    return found


def settings_that_matter(settings: Mapping[str, Any]) -> dict[str, Any]:
    """
    Return the settings that results depend on, for every study alike.

    Left out are folders, pairs of editions, the number of jobs, what a preview would change, and
    how many terms are shown: who was shown which is input, and stands in the study's folder. Of the
    kits it counts that people were shown definitions, since that changes the task. A setting
    that came later (`SINCE`) counts where it is not as it was meant to be left.
    """
    left_out = ("studies", "editions", "quick", "design")
    kept = {k: v for k, v in without_later(settings).items() if k not in left_out}
    # the number of jobs changes no result, so it is no part of what a result is made from
    if "bootstrap" in kept:
        kept["bootstrap"] = {k: v for k, v in kept["bootstrap"].items() if k != "parts"}
    shown = kept.pop("kit", {}).get("definitions")
    if shown:
        kept["kit"] = {"definitions": shown}
    return kept


def protocol_of(
    study: str,
    about: Mapping[str, Any],
    terms: Sequence[Row],
    settings: Mapping[str, Any],
    version: str,
    data_seen: bool = False,
) -> dict[str, Any]:
    """
    Return what determines the analysis of a study.

    Parameters
    ----------
    study : str
        Its name in the settings; draws are keyed by it.
    about : mapping
        `title`, `edition`, `instruction`, `populations` (id to label).
    terms : sequence of row
        The lexicon, in any order.
    settings : mapping
        The resolved settings.
    version : str
        Of Felloe.
    data_seen : bool
        Whether there were sorts already.
    """
    # the wheel is turned to lie like that of the older edition; who follows later changes nothing
    older = [before for before, after in pairs_of(settings["editions"]) if after == study]
    return {
        "format": FORMAT,
        "felloe": version,
        "data_seen": data_seen,
        "study": study,
        "title": about["title"],
        "edition": str(about["edition"]),
        "instruction": about["instruction"],
        "populations": [{"id": k, "label": v} for k, v in about["populations"].items()],
        "terms": {row["term"]: wording(row) for row in terms},
        "settings": {**settings_that_matter(settings), "older_editions": older},
    }


def wording(row: Row) -> dict[str, Any]:
    """Return what a term's row says beside its id; empty cells are left out."""
    return {k: v for k, v in row.items() if k != "term" and not is_blank(v)}


def previewed(frozen: Protocol, settings: Mapping[str, Any]) -> tuple[Protocol, int]:
    """
    Return a protocol as a preview has it, so that what a preview lowers is no departure.

    Parameters
    ----------
    frozen : mapping
    settings : mapping
        Of the run, with `preview` and `quick`.

    Returns
    -------
    protocol : mapping
        As it is where the run is no preview.
    n_lowered : int
        Settings that the preview lowers.
    """
    if not settings["preview"]:
        return frozen, 0
    own = frozen["settings"]
    told = {
        block: {
            key: lowered(value, quick[key]) if key in quick else value
            for key, value in own[block].items()
        }
        for block, quick in settings["quick"].items()
        if block in own
    }
    found = {**frozen, "settings": {**own, **told}}
    number = len(list(differences(own, found["settings"])))
    return {**found, "settings": {**found["settings"], "preview": True}}, number


def departures(frozen: Protocol, now: Protocol) -> list[Departure]:
    """
    List every point in which a run is not what was frozen.

    Parameters
    ----------
    frozen, now : mapping
        As `protocol_of` returns it.

    Returns
    -------
    list of Departure
        What the study is, its populations and terms, then the settings, each in sorted order.
    """
    found = [Departure(k, frozen[k], now[k]) for k in COMPARED if frozen[k] != now[k]]
    found += population_departures(frozen["populations"], now["populations"])
    found += differences(frozen["terms"], now["terms"], "terms")
    found += differences(frozen["settings"], now["settings"])
    return found


def population_departures(frozen: Sequence[Row], now: Sequence[Row]) -> list[Departure]:
    """List the populations that came, went or changed their label, else a changed order."""
    before, after = ({each["id"]: each["label"] for each in them} for them in (frozen, now))
    found = list(differences(before, after, "populations"))
    if not found and list(before) != list(after):
        found = [Departure("populations", list(before), list(after))]
    return found


def differences(frozen: Any, now: Any, place: str = "") -> Iterator[Departure]:
    """Yield what differs between two nested values; only mappings are entered."""
    if isinstance(frozen, Mapping) and isinstance(now, Mapping):
        for key in sorted({*frozen, *now}):
            inner = f"{place}.{key}" if place else key
            yield from differences(frozen.get(key), now.get(key), inner)
    elif frozen != now:
        yield Departure(place, frozen, now)
