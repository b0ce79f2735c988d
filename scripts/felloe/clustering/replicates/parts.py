"""Trees of redrawn participants as packed arrays, one file a job."""

import io
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path

import numpy as np

from felloe.clustering.replicates.bootstrap import Part, Redrawn, gathered
from felloe.ground.files.writing import write_bytes
from felloe.ground.terms import Terms


def write_part(path: str | Path, part: Part) -> None:
    """Write one part; the same part gives the same bytes."""
    arrays = asdict(part) | {"terms": np.array(part.terms)}
    buffer = io.BytesIO()
    np.savez(buffer, **arrays)
    write_bytes(path, buffer.getvalue())


def read_part(path: str | Path) -> Part:
    """Read one part."""
    with np.load(path, allow_pickle=False) as stored:
        arrays = {name: stored[name] for name in stored.files}
    return Part(**arrays | {"terms": Terms(arrays["terms"].tolist())})


def read_parts(paths: Iterable[str | Path]) -> Redrawn:
    """Read all parts, in any order, and put their trees in order."""
    return gathered([read_part(path) for path in paths])
