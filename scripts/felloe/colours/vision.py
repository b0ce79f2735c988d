"""What a colour looks like to people with a colour-vision deficiency."""

from collections.abc import Sequence

import numpy as np

from felloe.colours.spaces import lab_of_linear, linear_of_srgb, srgb_of_hex
from felloe.ground.arrays import Array, Floats

# Machado, Oliveira & Fernandes (2009), IEEE TVCG 15:1291-1298, severity 1.0; applied to linear RGB.
DEFICIENCIES = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def simulate(linear: Array, deficiency: str) -> Floats:
    """
    Simulate a complete colour-vision deficiency.

    Parameters
    ----------
    linear : (..., 3) array of float
        Linear RGB in [0, 1].
    deficiency : {"protan", "deutan", "tritan"}

    Returns
    -------
    (..., 3) array of float
        Linear RGB, cut off to [0, 1].

    References
    ----------
    Machado, Oliveira & Fernandes (2009), IEEE Transactions on Visualization and Computer
    Graphics 15:1291-1298, the matrices of severity 1.0.
    """
    matrix = DEFICIENCIES[deficiency]
    parts = [sum(linear[..., k] * row[k] for k in range(3)) for row in matrix]
    seen: Floats = np.clip(np.stack(parts, axis=-1), 0, 1)
    return seen


def seen_labs(colours: Sequence[str]) -> Floats:
    """
    Return the colours as normal vision and each deficiency sees them.

    Parameters
    ----------
    colours : sequence of str
        `#rrggbb`.

    Returns
    -------
    (4, n, 3) array of float
        CIELAB for normal, protan, deutan and tritan vision.
    """
    linear = linear_of_srgb(srgb_of_hex(colours))
    views = [linear, *(simulate(linear, name) for name in DEFICIENCIES)]
    return np.stack([lab_of_linear(view) for view in views])
