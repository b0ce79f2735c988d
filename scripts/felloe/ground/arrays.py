"""Names for kinds of arrays; shapes stand in the docstrings of whoever takes them."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Array = NDArray[Any]
