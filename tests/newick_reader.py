"""Newick trees as a general library reads them."""

import io


def read_newick(text):
    """Return the tree of a text, a `skbio.TreeNode`; labels are taken as they stand."""
    from skbio import TreeNode

    return TreeNode.read(io.StringIO(text), format="newick", convert_underscores=False)


def leaves(text):
    """Return the labels of the leaves of a tree, left to right."""
    return [tip.name for tip in read_newick(text).tips()]
