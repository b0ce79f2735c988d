"""Results held against their manifest by hashes alone: nothing is recomputed."""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from felloe.audit.files import is_exempt
from felloe.audit.runs import Run, read_run, texts
from felloe.ground.files.hashes import sha256_of, sums_text
from felloe.ledger import ENTRIES, entries_hash

NO_MANIFEST, FILE, LOST, MORE, INPUT, SETTING, PROJECT, PACKAGE, OTHER, SUMS, LEDGER = (
    "no_manifest", "file", "lost", "more", "input", "setting", "project", "package", "other",
    "sums", "ledger",
)  # fmt: skip


@dataclass(frozen=True)
class Present:
    """
    What is here now, to hold a manifest against.

    Attributes
    ----------
    inputs : dict of str to str or None
        Hashes of the study's own files; None where its folder is not here.
    config : dict of str to str or None
        The settings that a run would have now, dotted keys to JSON; None where it is in none.
    identity : dict of str to str
        `version`, `code` and `lock` of the project.
    packages : dict of str to str
    """

    inputs: Mapping[str, str] | None
    config: Mapping[str, str] | None
    identity: Mapping[str, str]
    packages: Mapping[str, str]


@dataclass(frozen=True)
class Finding:
    """
    One thing that is not as the manifest says.

    Attributes
    ----------
    code : str
        One of the codes above.
    name : str
        Of the file, setting or package.
    was, now : str
        What the manifest says and what is here; empty where there is nothing.
    """

    code: str
    name: str
    was: str = ""
    now: str = ""


def held_against_manifest(folder: Path, present: Present) -> list[Finding]:
    """
    Return everything in which results, inputs, settings, code and versions are not the manifest's.

    Parameters
    ----------
    folder : Path
        `results/{study}` or the folder of two editions.
    present : Present

    Returns
    -------
    list of Finding
        Empty only if every file is there with its hash, no other, and all else is the same.
    """
    run = read_run(folder)
    if not run.manifest:
        return [Finding(NO_MANIFEST, "manifest.json")]
    return [*of_files(run), *of_records(run), *of_sources(run, present)]


def of_files(run: Run) -> Iterator[Finding]:
    """Yield the files that are not the manifest's."""
    listed, there = run.listed, run.files.hashes
    for path, value in listed.items():
        if path not in there:
            yield Finding(LOST, path)
        elif there[path] != value:
            yield Finding(FILE, path, value, there[path])
    for path in [*there, *run.files.unreadable]:
        if path not in listed and path not in ("manifest.json", "SHA256SUMS"):
            yield Finding(MORE, path)


def of_sums(run: Run) -> Iterator[Finding]:
    """Yield the sums if they are not those of the manifest and its files."""
    hashes = run.files.hashes
    text = sums_text({**run.listed, "manifest.json": hashes.get("manifest.json", "")})
    right = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
    if hashes.get("SHA256SUMS") != right:
        yield Finding(SUMS, "SHA256SUMS")


def of_records(run: Run) -> Iterator[Finding]:
    """Yield where sums and ledger do not say what the manifest says."""
    yield from of_sums(run)
    for name, value in run.listed.items():
        entered = run.makers[name].outputs[name] if name in run.makers else ""
        if entered != value:
            yield Finding(LEDGER, name, value, entered)
    made = run.makers.get("manifest.json")
    own = run.folder / "ledger" / f"{made.step if made else ''}.json"
    if made is not None and made.inputs.get(ENTRIES) != entries_hash(str(own)):
        yield Finding(LEDGER, ENTRIES)
    if made is None or made.outputs["manifest.json"] != run.files.hashes.get("manifest.json"):
        yield Finding(FILE, "manifest.json")


def beside_manifest(run: Run) -> list[str]:
    """Return the files that no manifest lists, and the sums where they are not the manifest's."""
    if not run.manifest:
        return []
    more = [each for each in of_files(run) if each.code == MORE]
    return [each.name for each in (*more, *of_sums(run))]


def of_sources(run: Run, present: Present) -> Iterator[Finding]:
    """Yield inputs, settings, code, packages and other studies' results that are not the same."""
    if present.inputs is not None:
        yield from differing(INPUT, texts(run.manifest.get("inputs")), present.inputs)
    if present.config is not None:
        yield from differing(SETTING, run.settings, present.config)
    project = texts(run.manifest.get("project"))
    yield from differing(
        PROJECT, {k: project.get(k, "") for k in present.identity}, present.identity
    )
    yield from differing(PACKAGE, texts(run.manifest.get("packages")), present.packages)
    root = run.folder.parent.parent if "older" in run.manifest else run.folder.parent
    others = run.manifest.get("other_studies")
    for study, files in (others if isinstance(others, Mapping) else {}).items():
        for path, value in texts(files).items():
            there = root / study / path
            now = sha256_of(there) if there.is_file() else ""
            if now != value and not is_exempt(path):
                yield Finding(OTHER, f"{study}/{path}", value, now)


def differing(code: str, was: Mapping[str, str], now: Mapping[str, str]) -> Iterator[Finding]:
    """Yield the names under which two mappings differ."""
    for name in sorted({*was, *now}):
        if was.get(name) != now.get(name):
            yield Finding(code, name, was.get(name, ""), now.get(name, ""))
