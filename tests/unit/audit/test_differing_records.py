"""Records, trees and vocabularies entry by entry."""

import json

import pytest
from felloe.audit.records import compare_contents, flattened, kind_of
from felloe.ground.files.newick import Node, newick, parse_newick
from newick_reader import read_newick


def compared(tmp_path, path, was, now):
    files = [tmp_path / "was", tmp_path / "now"]
    for file, text in zip(files, (was, now)):
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return compare_contents(path, *files)


def told(found):
    return {entry.key: (entry.was, entry.now) for entry in found.entries}


def test_a_record_is_told_by_its_keys(tmp_path):
    was = {"a": {"b": 1, "c": [1, 2]}, "gone": None}
    now = {"a": {"b": 2, "c": [1, 3]}, "new": "x"}
    found = compared(tmp_path, "circle/order.json", json.dumps(was), json.dumps(now))
    assert told(found) == {
        "a.b": ("1", "2"),
        "a.c": ("[1, 2]", "[1, 3]"),
        "gone": ("null", None),
        "new": (None, '"x"'),
    }
    assert found.number == 4


def test_records_of_a_list_go_by_their_names():
    assert flattened({"terms": [{"id": "dill", "x": 1}, {"id": "mint", "x": 2}]}) == {
        "terms.dill.id": '"dill"',
        "terms.dill.x": "1",
        "terms.mint.id": '"mint"',
        "terms.mint.x": "2",
    }
    assert set(flattened([{"id": "a"}, {"id": "a"}])) == {"0.id", "1.id"}


def test_the_same_record_written_otherwise_has_no_entry(tmp_path):
    found = compared(tmp_path, "a.jsonld", '{"a":1}', '{ "a": 1 }\n')
    assert (found.kind, found.number, found.problem) == ("record", 0, "")


def test_the_manifest_tells_settings_but_neither_hashes_nor_places(tmp_path):
    was = {"config": {"studies": {"s": str(tmp_path / "one")}, "seed": 1}, "outputs": {"a": "1"}}
    now = {"config": {"studies": {"s": str(tmp_path / "two")}, "seed": 2}, "outputs": {"a": "2"}}
    found = compared(tmp_path, "manifest.json", json.dumps(was), json.dumps(now))
    assert told(found) == {"config.seed": ("1", "2")}


def test_a_tree_is_told_by_the_terms_below_each_node(tmp_path):
    found = compared(tmp_path, "clustering/tree.nwk", "((a,b)90,c);", "((b,a)80,(c,d)70);")
    assert told(found) == {
        "group a;b": ("support 90", "support 80"),
        "group a;b;c": ("there", None),
        "leaf d": (None, "there"),
        "group c;d": (None, "support 70"),
        "group a;b;c;d": (None, "there"),
    }


def test_the_order_of_branches_is_no_difference(tmp_path):
    found = compared(
        tmp_path, "clustering/tree.nwk", "((a:1,b:1)90:2,c:3);", "(c:3,(b:1,a:1)90:2);"
    )
    assert found.number == 0


@pytest.mark.parametrize(
    "text", ["((a:1,b:2)90:0.5,c:1e-05,(d,e)7.5);", "(a,b);", "(a-1:0.25,b_c);"]
)
def test_trees_are_read_as_a_general_library_reads_them(text):
    def plain(node):
        return (node.name or "", node.length, [plain(child) for child in node.children])

    def ours(node):
        return (node.label, node.length, [ours(child) for child in node.children])

    assert ours(parse_newick(text)) == plain(read_newick(text))


def test_a_tree_survives_being_written_and_read():
    tree = Node("", None, (Node("50", 0.1, (Node("a", 1.0), Node("b", 1.5))), Node("c", 2.0)))
    assert parse_newick(newick(tree) + ";\n") == tree


@pytest.mark.parametrize("text", ["", "(a,b)", "((a,b);", "(a,b));", "a,b;", "x(a,b);", "(a:x,b);"])
def test_what_is_no_tree_is_refused(text):
    with pytest.raises(ValueError):
        parse_newick(text)


def test_a_vocabulary_is_told_by_its_statements(tmp_path):
    head = "@prefix s: <http://www.w3.org/2004/02/skos/core#> .\n"
    was = f"{head}<urn:a> s:prefLabel 'A' ; s:broader <urn:b> ."
    now = f"{head}<urn:a> s:broader <urn:b> .\n<urn:a> s:prefLabel 'B' ."
    found = compared(tmp_path, "report/vocabulary.ttl", was, now)
    label = "<urn:a> <http://www.w3.org/2004/02/skos/core#prefLabel>"
    assert told(found) == {f'{label} "A"': ("there", None), f'{label} "B"': (None, "there")}


def test_blank_nodes_go_by_what_is_said_of_them(tmp_path):
    was = "<urn:a> <urn:p> [ <urn:q> 1 ] ."
    assert compared(tmp_path, "a.ttl", was, was.replace("[ ", "[\n")).number == 0
    assert compared(tmp_path, "a.ttl", was, was.replace("1", "2")).number > 0


def test_other_texts_go_line_by_line(tmp_path):
    found = compared(tmp_path, "SHA256SUMS", "1 a\n2 b\n", "1 a\n3 b\n4 c\n")
    assert told(found) == {"line 2": ("2 b", "3 b"), "line 3": (None, "4 c")}


@pytest.mark.parametrize(
    ("path", "damaged", "reason"),
    [
        ("a.json", "{", "is not JSON"),
        ("a.json", "[" * 100_000, "is nested too deep"),
        ("a.json", b"\xff", "is not UTF-8 text"),
        ("a.nwk", "(a", "is not Newick"),
        ("a.nwk", "(" * 5000 + "a" + ")" * 5000 + ";", "is nested too deep"),
        ("a.ttl", "<urn:a> <urn:b>", "is not Turtle"),
    ],
)
def test_a_file_that_is_damaged_is_said_to_be_so(tmp_path, path, damaged, reason):
    whole = {"a.json": "{}", "a.nwk": "(a,b);", "a.ttl": ""}[path]
    found = compared(tmp_path, path, whole, damaged)
    assert found.problem.startswith(f"now: {reason}")
    assert found.entries == ()


def test_drawings_pages_and_sheets_are_not_read():
    names = ("a.svg", "a.png", "a.pdf", "a.html", "a.xlsx", "a.npz")
    assert [kind_of(name) for name in names] == [None] * len(names)
