"""All linkages side by side on the same distances."""

import numpy as np

from felloe.clustering.null import cophenetic_null
from felloe.clustering.ties import leaving_share
from felloe.ground.agreement import adjusted_rand
from felloe.ground.linkage import (
    METHODS,
    agglomerative_coefficient,
    build_tree,
    cophenetic_correlation,
    cut,
)


def compare_linkages(D, null_distances, classes, subclasses):
    """
    Describe the tree of every linkage, and how far its groups agree with the chosen ones.

    Parameters
    ----------
    D : (N, N) array of float
    null_distances : list of (N, N) array of float
        Of data sets with terms permuted within participants.
    classes, subclasses : (N,) array of int
        Groups of the chart.

    Returns
    -------
    list of dict
        One row per linkage in the order of `METHODS`; `changing` lists term numbers.
    """
    rows = []
    for method in METHODS:
        tree = build_tree(D, method)
        other = cut(tree, int(classes.max()) + 1)
        finer = cut(tree, int(subclasses.max()) + 1)
        changing = np.flatnonzero(leaving_share(other[None], classes))
        rows.append(
            {
                "linkage": method,
                "cophenetic_correlation": cophenetic_correlation(
                    tree, np.sqrt(D) if method == "ward" else D
                ),
                "cophenetic_null_mean": cophenetic_null(null_distances, method),
                "agglomerative_coefficient": agglomerative_coefficient(tree),
                "ari_class": adjusted_rand(other, classes),
                "ari_subclass": adjusted_rand(finer, subclasses),
                "n_terms_changing_class": len(changing),
                "changing": changing.tolist(),
            }
        )
    return rows
