"""Proofs show a colour as a library of colours simulates it."""

import numpy as np
import pytest
from coloraide import Color
from felloe.report.sheet.proofs import CAPTIONS, recoloured

COLOURS = ["#7c4fd0", "#d05a4f", "#2e8b57", "#f0e24a", "#8899aa", "#000000", "#ffffff", "#123456"]


def levels(colour):
    return np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)])


@pytest.mark.parametrize("kind", ["protan", "deutan", "tritan"])
@pytest.mark.parametrize("colour", COLOURS)
def test_a_simulation_equals_that_of_a_library_of_colours(kind, colour):
    # coloraide 8.13, its filter after Machado and others (2009), in linear light
    expected = Color(colour).filter(kind, 1, method="machado", space="srgb-linear")
    expected = expected.convert("srgb").clip().to_string(hex=True)
    assert np.abs(levels(recoloured(kind)(colour)) - levels(expected)).max() <= 1


@pytest.mark.parametrize("colour", COLOURS)
def test_a_grey_has_the_luminance_of_its_colour(colour):
    grey = recoloured("grey")(colour)
    assert len(set(levels(grey).tolist())) == 1
    assert Color(grey).luminance() == pytest.approx(Color(colour).luminance(), abs=0.006)


def test_there_is_a_proof_of_each_kind():
    assert list(CAPTIONS) == ["grey", "protan", "deutan", "tritan"]
