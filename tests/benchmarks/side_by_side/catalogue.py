"""All kernels, by the names that may be typed, and the studies that each is measured on."""

from benchmarks.side_by_side import (
    of_choices,
    of_circles,
    of_counts,
    of_maps,
    of_people,
    of_trees,
)

SMALL, MIDDLE = "small", "middle"
# what a loop needs minutes for at the middle size is measured at the small one alone
KERNELS = {
    "counting": (of_counts.counting, (SMALL, MIDDLE)),
    "linkage": (of_trees.linkage, (SMALL, MIDDLE)),
    "bootstrap": (of_trees.bootstrap, (SMALL, MIDDLE)),
    "supports": (of_trees.supports, (SMALL, MIDDLE)),
    "screening": (of_people.screening, (SMALL, MIDDLE)),
    "reliability": (of_counts.reliability, (SMALL, MIDDLE)),
    "labels": (of_people.label_test, (SMALL, MIDDLE)),
    "differences": (of_people.differences, (SMALL,)),
    "divisions": (of_people.splits, (SMALL,)),
    "ties": (of_trees.ties, (SMALL, MIDDLE)),
    "grid": (of_choices.grid, (SMALL, MIDDLE)),
    "circle": (of_circles.circle, (SMALL, MIDDLE)),
    "ring": (of_circles.ring, (SMALL,)),
    "metric": (of_maps.metric, (SMALL, MIDDLE)),
    "ordinal": (of_maps.ordinal, (SMALL, MIDDLE)),
}
