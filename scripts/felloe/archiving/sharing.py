"""What may be circulated of a study: pages, figures and tables that tell of nobody alone."""

import posixpath
import re
import shutil
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from felloe.archiving.giving_away import given_away
from felloe.archiving.naming import named_in, pseudonyms
from felloe.archiving.share_words import not_included, readme
from felloe.archiving.wholeness import Kept
from felloe.archiving.zipping import Content, bytes_of, sha256_of_content
from felloe.audit.keys import is_personal
from felloe.errors import StudyError
from felloe.ground.files.hashes import sums_text
from felloe.ground.files.records import read_json
from felloe.ground.people.sorts import Sorts
from felloe.validation.analysed import read_analysed
from felloe.validation.tables import ANALYSED, PICKS, REGISTER, TERMS

Members = dict[str, Content]
SHARED = "shared"
SHOWN = 10  # files on a screen
README, NOT_INCLUDED, SUMS = "README.txt", "NOT_INCLUDED.txt", "SHA256SUMS"
PEOPLE = "validation/"
EDITIONS = "results/editions/"
DOSSIER, ABOUT = "comparison/populations.json", "validation/study.json"
# lists of files, which hash or name what is not passed on
LISTS = ("ro-crate-metadata.json",)
LINK = re.compile(
    r"""<a\b[^>]*?\shref=(["'])(?P<to>[^"'#?]+)[^"']*\1[^>]*>(?P<words>.*?)</a>""", re.DOTALL
)
ELSEWHERE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|//")


@dataclass(frozen=True)
class Chosen:
    """
    Which results are passed on.

    Attributes
    ----------
    taken : list of str
        Relative to the working folder.
    people, lists : list of str
        Left out: what tells of people; what lists or hashes it.
    pairs : list of str
        Folders of comparisons and timelines that this study is part of.
    """

    taken: list[str]
    people: list[str]
    lists: list[str]
    pairs: list[str]


def share_of(study: str, kept: Sequence[Kept], least: int) -> Members:
    """
    Return every file that may be circulated of a study, by its name.

    Parameters
    ----------
    study : str
    kept : sequence of Kept
        Whole results of it and of all that editions join to it.
    least : int
        People of a population, so that its counts give nobody's sort away.

    Raises
    ------
    StudyError
        If a population is so small that they do, if the counts of sorts in parts give whole sorts
        away, or a file names somebody.
    """
    home = f"results/{study}"
    about = read_json(f"{home}/{ABOUT}")
    refuse_small(study, read_json(f"{home}/{DOSSIER}")["n_people"], least)
    if "partial" in about:
        refuse_given_away(study, read_analysed(f"{home}/{ANALYSED.path}"))
    chosen = choose(study, kept)
    members: Members = {name: shared_content(name, chosen.taken) for name in chosen.taken}
    refuse_named(members, home, about)
    manifest = next(each.manifest for each in kept if each.home == home)
    pages = [name for name in chosen.taken if name.startswith(EDITIONS) and name.endswith(".html")]
    members[README] = readme(study, about, manifest["project"], pages, least).encode()
    members[NOT_INCLUDED] = not_included(
        home, chosen.people, chosen.lists, sorted(manifest["inputs"]), chosen.pairs
    ).encode()
    sums = {name: sha256_of_content(content) for name, content in members.items()}
    members[SUMS] = sums_text(sums).encode()
    return members


def refuse_small(study: str, n_people: Mapping[str, int], least: int) -> None:
    """Refuse a study with a population whose counts are those of one or two people."""
    small = [f"{name} ({n})" for name, n in n_people.items() if n < least]
    if small:
        raise StudyError(
            f"{study}: {', '.join(small)} analysed, fewer than privacy.smallest_cell ({least}). "
            "The counts of so few people give their sorts away. Nothing was written. Merge the "
            "population with another in participants.csv, or pass on the figures alone."
        )


def refuse_given_away(study: str, sorts: Sorts) -> None:
    """Refuse sorts in parts of which so few people saw a pair that whole sorts follow."""
    told = told_of_counts(study, sorts)
    if told:
        raise StudyError(
            f"{told} Nothing was written. Ask more people, or pass on drawings of the chart alone, "
            "without matrices, tables and distances."
        )


def told_of_counts(study: str, sorts: Sorts) -> str:
    """Return whose whole sorts follow from the counts of sorts in parts; "" if nobody's."""
    piles = {name: sorts.of(name).piles for name in sorts.names}
    found = {name: given_away(own) for name, own in piles.items()}
    told = [f"{name} ({n} of {len(piles[name])} people)" for name, n in found.items() if n]
    if not told:
        return ""
    return (
        f"{study}: so few people saw each pair of terms that whole sorts follow from the "
        f"counts, for whoever knows or works out who was shown what: {', '.join(told)}."
    )


def refuse_named(members: Members, home: str, about: Mapping[str, Any]) -> None:
    """Refuse to pass on a file that names somebody, as a reason of a decision can."""
    people = [row["participant"] for row in REGISTER.read(f"{home}/{REGISTER.path}")]
    people += [row["respondent"] for row in PICKS.read(f"{home}/{PICKS.path}")]
    words = [row["term"] for row in TERMS.read(f"{home}/{TERMS.path}")]
    found = list(named_in(members, pseudonyms(people, [*words, *about["populations"]])))
    if found:
        lines = [f"{name} names {who}." for name, who in found[:SHOWN]]
        lines.append(
            "Nothing was written. Take it out of what was written by hand (decisions.csv, "
            "terms.csv, left_out.csv, study.yaml, settings), and run the study again."
        )
        raise StudyError("\n".join(lines))


def choose(study: str, kept: Sequence[Kept]) -> Chosen:
    """Choose among the results of a study and of the comparisons that it is part of."""
    taken, people, lists, pairs = [], [], [], []
    for each in kept:
        told = [each.manifest.get("older"), each.manifest.get("newer")]
        if study in [*told, *each.manifest.get("timeline", ())]:
            pairs.append(posixpath.basename(each.home))
        elif each.manifest.get("study") != study:
            continue
        for name in sorted(each.manifest["outputs"]):
            path = f"{each.home}/{name}"
            if name.startswith(PEOPLE) or is_personal(name):
                people.append(path)
            elif name in LISTS:
                lists.append(path)
            else:
                taken.append(path)
    return Chosen(taken, people, lists, pairs)


def shared_content(name: str, taken: Collection[str]) -> Content:
    """Return a file as it is passed on: a page without links to what is not."""
    path = Path(name)
    if path.suffix != ".html":
        return path
    page = path.read_bytes()
    text = page.decode("utf-8")
    mended = without_dead_links(text, posixpath.dirname(name), set(taken))
    return path if mended == text else mended.encode()


def without_dead_links(page: str, folder: str, there: Collection[str]) -> str:
    """
    Return a page in which every link to a file that is not there is plain text that says so.

    Parameters
    ----------
    page : str
        HTML.
    folder : str
        Where the page stands.
    there : collection of str
        Files, named from where `folder` is.
    """

    def mended(link: re.Match[str]) -> str:
        to = unquote(link["to"])
        if ELSEWHERE.match(to) or posixpath.normpath(posixpath.join(folder, to)) in there:
            return link[0]
        return f"<span>{link['words']} (not included)</span>"

    return LINK.sub(mended, page)


def write_folder(place: Path, members: Mapping[str, Any]) -> None:
    """
    Write members as a folder, whole or not at all, in place of an earlier one.

    Raises
    ------
    StudyError
        If something stands there that was not written by this.
    """
    if place.exists() and not (place / NOT_INCLUDED).is_file():
        raise StudyError(f"{place.as_posix()} stands in the way. Move it. Nothing was written.")
    half, old = (place.with_name(f".{place.name}.{end}") for end in ("part", "old"))
    for left in (half, old):
        shutil.rmtree(left, ignore_errors=True)
    try:
        for name, content in members.items():
            path = half / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(bytes_of(content))
        if place.exists():
            place.rename(old)
        half.rename(place)
    except BaseException:
        shutil.rmtree(half, ignore_errors=True)
        if old.exists() and not place.exists():
            old.rename(place)
        raise
    shutil.rmtree(old, ignore_errors=True)
