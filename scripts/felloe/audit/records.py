"""Records, trees, vocabularies and other texts of one path, entry by entry."""

import json
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from felloe.audit.differences import KEPT, NOW, WAS, ContentDifference, EntryDifference
from felloe.audit.keys import is_personal
from felloe.ground.files.newick import Node, parse_newick

Entries = dict[str, str]
NAMES = ("@id", "id", "term", "name", "class", "population")  # what tells records of a list apart
# entries of the manifest that are no differences of their own: the list of files tells the hashes,
# and where a study lies is nobody's choice and may be a path of one machine
UNTOLD = ("outputs.", "config.studies.")
MANIFEST = "manifest.json"
KINDS = {
    ".json": "record",
    ".jsonld": "record",
    ".nwk": "tree",
    ".ttl": "triples",
    ".txt": "lines",
    ".css": "lines",
    ".gpl": "lines",
    "": "lines",
}


class NotReadable(ValueError):
    """A file that can not be read as what its name says, and why."""


def kind_of(path: str) -> str | None:
    """Return how the contents of a file are compared, None if they are not."""
    return KINDS.get(Path(path).suffix)


def compare_contents(path: str, was: Path, now: Path) -> ContentDifference:
    """
    Compare two files that are no tables entry by entry.

    Parameters
    ----------
    path : str
        Relative to the results; `kind_of` knows it.
    was, now : Path

    Returns
    -------
    ContentDifference
        With a `problem` where one of the two is not what its name says.
    """
    kind = str(kind_of(path))
    personal = is_personal(path)
    both: list[Entries] = []
    for side, file in ((WAS, was), (NOW, now)):
        try:
            both.append(read_entries(kind, path, file))
        except NotReadable as error:
            return ContentDifference(path, kind, problem=f"{side}: {error}", personal=personal)
    found = list(differing(*both))
    return ContentDifference(path, kind, len(found), tuple(found[:KEPT]), personal=personal)


def differing(was: Entries, now: Entries) -> Iterator[EntryDifference]:
    """Yield the entries that are not the same, in the order of the first, then of the second."""
    for key in {**was, **now}:
        if was.get(key) != now.get(key):
            yield EntryDifference(key, was.get(key), now.get(key))


def read_entries(kind: str, path: str, file: Path) -> Entries:
    """
    Read a file as entries that can be compared one by one.

    Raises
    ------
    NotReadable
    """
    try:
        text = file.read_text(encoding="utf-8")
    except OSError as error:
        raise NotReadable(f"cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise NotReadable("is not UTF-8 text") from error
    entries = READERS[kind](text)
    if path == MANIFEST:
        return {key: one for key, one in entries.items() if not key.startswith(UNTOLD)}
    return entries


def of_record(text: str) -> Entries:
    """Return the values of a JSON text by their dotted paths."""
    try:
        return flattened(json.loads(text))
    except ValueError as error:
        raise NotReadable(f"is not JSON ({error})") from error
    except RecursionError as error:
        raise NotReadable("is nested too deep") from error


def flattened(value: Any, place: str = "") -> Entries:
    """
    Return the values of a record by their dotted paths, each as JSON.

    Records of a list go by the name that tells them apart, if they have one, else by their
    number; a list of plain values is one value.
    """
    parts: list[tuple[str, Any]]
    if isinstance(value, Mapping) and value:
        parts = [(str(key), entry) for key, entry in value.items()]
    elif isinstance(value, list) and any(isinstance(entry, (dict, list)) for entry in value):
        parts = list(zip(names_of(value), value, strict=True))
    else:
        return {place: json.dumps(value, ensure_ascii=False)}
    found: Entries = {}
    for name, entry in parts:
        found.update(flattened(entry, f"{place}.{name}" if place else name))
    return found


def names_of(entries: list[Any]) -> list[str]:
    """Return what the entries of a list are called."""
    for name in NAMES:
        names = [str(entry[name]) for entry in entries if isinstance(entry, dict) and name in entry]
        if len(names) == len(entries) == len(set(names)):
            return names
    return [str(number) for number in range(len(entries))]


def of_tree(text: str) -> Entries:
    """Return the leaves and inner nodes of a tree, by their terms, with label and length."""
    try:
        root = parse_newick(text)
    except ValueError as error:
        raise NotReadable(f"is not Newick ({error})") from error
    found: Entries = {}

    def visit(node: Node) -> list[str]:
        leaves = [leaf for child in node.children for leaf in visit(child)] or [node.label]
        length = "" if node.length is None else f"length {node.length!r}"
        if node.children:
            support = f"support {node.label}" if node.label else ""
            told = ", ".join(part for part in (support, length) if part)
            found[f"group {';'.join(sorted(leaves))}"] = told or "there"
        else:
            found[f"leaf {node.label}"] = length or "there"
        return leaves

    try:
        visit(root)
    except RecursionError as error:
        raise NotReadable("is nested too deep") from error
    return found


def of_triples(text: str) -> Entries:
    """Return the statements of a Turtle text; blank nodes go by what is said of them."""
    import rdflib
    from rdflib.compare import to_canonical_graph

    graph = rdflib.Graph()
    try:
        graph.parse(data=text, format="turtle")
    except Exception as error:  # the parser raises what it meets: its own, ValueError, ...
        raise NotReadable("is not Turtle") from error
    if any(isinstance(part, rdflib.BNode) for triple in graph for part in triple):
        graph = to_canonical_graph(graph)
    return {" ".join(part.n3() for part in triple): "there" for triple in sorted(graph)}


def of_lines(text: str) -> Entries:
    """Return the lines of a text by their number."""
    return {f"line {number}": line for number, line in enumerate(text.splitlines(), start=1)}


READERS: dict[str, Callable[[str], Entries]] = {
    "record": of_record,
    "tree": of_tree,
    "triples": of_triples,
    "lines": of_lines,
}
