"""Two invented editions, and what their comparison writes; made once."""

import numpy as np
import pytest
from compare_editions import main as compare
from edition_study import (
    CLASSES,
    map_crosswalk,
    members_of,
    outputs_in,
    sides,
    write_edition,
    write_tiers,
)
from felloe.tiers.tables import DATA_ONLY


@pytest.fixture(scope="session")
def inputs(tmp_path_factory):
    folder = tmp_path_factory.mktemp("editions")
    return {year: write_edition(folder / year, year) for year in CLASSES}


@pytest.fixture(scope="session")
def settings(inputs):
    return {
        **sides(inputs["2016"], inputs["2026"]),
        "older": "guild-2016",
        "newer": "guild-2026",
        "seed": 1,
        "settings": {
            "permutations": 199,
            "shape_permutations": 99,
            "halves": 20,
            "granularity_bins": 6,
            "level": 0.05,
        },
        "bounds": {"robust": 0.75, "possible": 0.5, "correspondence": 0.05},
        "smallest_cell": 3,
    }


@pytest.fixture(scope="session")
def compared(settings, tmp_path_factory):
    folder = tmp_path_factory.mktemp("compared")
    compare(**settings, **outputs_in(folder))
    map_crosswalk(settings, folder, folder / "crosswalk.ttl")
    members_of(settings, folder)
    return folder


@pytest.fixture(scope="session")
def unrelated(settings, inputs, tmp_path_factory):
    """The comparison with an edition whose classes are dealt at random."""
    folder = tmp_path_factory.mktemp("unrelated")
    rows = DATA_ONLY.read(inputs["2026"].data_only)
    dealt = np.random.default_rng(4).permutation([row["class"] for row in rows]).tolist()
    first = {name: min(row["term"] for row, other in zip(rows, dealt) if other == name)
             for name in set(dealt)}  # fmt: skip
    write_tiers(folder, [row["term"] for row in rows], [first[name] for name in dealt])
    charts = {
        "newer_data_only": folder / "data_only.csv",
        "newer_published": folder / "published.csv",
    }
    compare(**{**settings, **charts}, **outputs_in(folder))
    map_crosswalk(settings, folder, folder / "crosswalk.ttl")
    members_of(settings, folder)
    return folder
