"""Trees, linkages and replicates as files."""

import numpy as np
import pytest
from felloe.clustering.replicates.bootstrap import Part
from felloe.clustering.replicates.parts import read_part, read_parts, write_part
from felloe.clustering.tables import LINKAGE as LINKAGE_TABLE
from felloe.clustering.tree_files import read_tree, write_tree
from felloe.ground.files.newick import (
    Node,
    newick,
    tree_of_groups,
    tree_of_linkage,
    write_newick,
)
from felloe.ground.groups.linkage import build_tree, cophenetic
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import DifferentTerms, Terms
from felloe.tiers.tables import PUBLISHED_LINKAGE
from newick_reader import leaves, read_newick

TERMS = ["ash", "beet", "clove", "dill", "egg"]
CORNER = np.triu(np.random.default_rng(61).random((5, 5)), 1)
LINKAGE = build_tree(CORNER + CORNER.T, "average")
SUPPORTS = [0.5, 1.0, 0.123456, 1.0]


def tip_distances(newick_text, terms):
    """Distances between leaves as scikit-bio, a general library, reads the tree."""
    found = read_newick(newick_text).cophenet()
    return found.filter(terms).data


@pytest.mark.filterwarnings("ignore")
def test_a_general_library_reads_the_joining_heights_back():
    text = newick(tree_of_linkage(LINKAGE, TERMS, SUPPORTS)) + ";"
    assert tip_distances(text, TERMS) == pytest.approx(2 * cophenetic(LINKAGE), abs=1e-9)


def nodes_of(read):
    """Return what a library has read as a node of our own."""
    return Node(read.name or "", read.length, tuple(nodes_of(child) for child in read.children))


@pytest.mark.filterwarnings("ignore")
def test_a_tree_survives_a_round_trip(tmp_path):
    tree = tree_of_linkage(LINKAGE, TERMS, SUPPORTS)
    write_newick(tmp_path / "tree.nwk", tree)
    text = (tmp_path / "tree.nwk").read_text(encoding="utf-8")
    assert nodes_of(read_newick(text)) == tree


def test_supports_are_percentages():
    text = newick(tree_of_linkage(LINKAGE, TERMS, SUPPORTS))
    assert ")50:" in text
    assert ")100:" in text
    assert ")12.35:" in text


def test_unresolved_groups_are_polytomies():
    groups = np.array([[True, True, True, False, False], [True, True, False, False, False]])
    tree = tree_of_groups(groups, [0.9, 0.6], TERMS)
    assert newick(tree) == "(((ash,beet)60,clove)90,dill,egg)"
    assert leaves(newick(tree) + ";") == TERMS


def test_a_tree_without_any_group_is_a_star():
    tree = tree_of_groups(np.zeros((0, 5), dtype=bool), [], TERMS)
    assert newick(tree) == "(ash,beet,clove,dill,egg)"


UNSORTED = Terms(["egg", "ash", "dill", "beet", "clove"])


def test_a_tree_and_its_terms_survive_a_round_trip(tmp_path):
    write_tree(tmp_path / "linkage.csv", Tree(UNSORTED, LINKAGE))
    found = read_tree(tmp_path / "linkage.csv")
    assert found.terms == UNSORTED
    assert np.array_equal(found.Z, LINKAGE)


def test_either_side_of_a_merge_is_named_by_its_alphabetically_first_term(tmp_path):
    Z = [[2, 3, 0.1, 2], [0, 4, 0.2, 3], [1, 5, 0.3, 4]]
    write_tree(tmp_path / "linkage.csv", Tree(["d", "a", "c", "b"], Z))
    assert (tmp_path / "linkage.csv").read_text().splitlines() == [
        "left,right,height,size,left_first,right_first",
        "2,3,0.1,2,c,b",
        "0,4,0.2,3,d,b",
        "1,5,0.3,4,a,b",
    ]


def test_the_published_tree_has_the_columns_of_the_tree():
    assert PUBLISHED_LINKAGE.names == LINKAGE_TABLE.names


@pytest.mark.parametrize(
    "rows",
    [
        "0,1,0.1,2,a,b\n2,3,0.2,3,c,b",
        "0,1,0.1,2,a,b\n2,3,0.2,3,a,a",
        "0,1,0.1,2,a,b\n0,3,0.2,3,c,a",
        "0,1,0.3,2,a,b\n2,3,0.2,3,c,a",
    ],
    ids=["another first term", "one term twice", "a term is missing", "heights fall"],
)
def test_a_file_that_is_no_tree_of_its_terms_is_refused(tmp_path, rows):
    path = tmp_path / "linkage.csv"
    path.write_text(f"left,right,height,size,left_first,right_first\n{rows}\n")
    with pytest.raises(ValueError, match=r"linkage\.csv: "):
        read_tree(path)


def part(numbers, merges, terms=("a", "b", "c", "d")):
    return Part(
        terms=Terms(terms),
        numbers=np.array(numbers),
        merges=merges[numbers],
        null_numbers=np.array(numbers[:1]),
        null_merges=merges[numbers[:1]][:, None],
        scale_numbers=np.array([], dtype=int),
        scale_merges=np.zeros((0, 0, 3, 2), int),
        scales=np.zeros(0),
    )


def test_parts_are_put_in_order_however_they_were_split(tmp_path):
    merges = np.arange(6 * 3 * 2).reshape(6, 3, 2)
    write_part(tmp_path / "a.npz", part([1, 3, 5], merges))
    write_part(tmp_path / "b.npz", part([0, 2, 4], merges))
    for order in (["a", "b"], ["b", "a"]):
        redrawn = read_parts([tmp_path / f"{name}.npz" for name in order])
        assert redrawn.terms == ("a", "b", "c", "d")
        assert np.array_equal(redrawn.merges, merges)
        assert np.array_equal(redrawn.null_merges[:, 0], merges[:2])
        assert len(redrawn.scale_merges) == 0


def test_parts_of_other_terms_are_not_put_together(tmp_path):
    merges = np.arange(6 * 3 * 2).reshape(6, 3, 2)
    write_part(tmp_path / "a.npz", part([1, 3, 5], merges))
    write_part(tmp_path / "b.npz", part([0, 2, 4], merges, ("a", "b", "c", "e")))
    with pytest.raises(DifferentTerms, match="only part 2 has 'e'"):
        read_parts([tmp_path / "a.npz", tmp_path / "b.npz"])


def test_the_same_part_gives_the_same_bytes(tmp_path):
    merges = np.arange(6 * 3 * 2).reshape(6, 3, 2)
    for name in ("a", "b"):
        write_part(tmp_path / name, part([0, 1], merges))
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()
    assert np.array_equal(read_part(tmp_path / "a").merges, merges[:2])
