"""Records as JSON: indented, keys in the order given, absent numbers null."""

import json
import math
from pathlib import Path
from typing import Any

import numpy as np

from felloe.ground.files.writing import write_text


def jsonable(value: Any) -> Any:
    """Return `value` with NumPy's types made plain and absent numbers null."""
    if isinstance(value, dict):
        return {str(key): jsonable(entry) for key, entry in value.items()}
    if isinstance(value, (list, tuple)):
        return [jsonable(entry) for entry in value]
    if isinstance(value, np.ndarray):
        return jsonable(value.tolist())
    if isinstance(value, (bool, np.bool_)):
        return bool(value)
    if isinstance(value, np.integer):
        return int(value)
    if isinstance(value, (float, np.floating)):
        return float(value) if math.isfinite(value) else None
    return value


def json_text(record: Any) -> str:
    """Return a record as indented JSON in the order of its keys."""
    return json.dumps(jsonable(record), indent=2, ensure_ascii=False) + "\n"


def write_json(path: str | Path, record: Any) -> None:
    """Write a record as indented JSON in the order of its keys."""
    write_text(path, json_text(record))


def read_json(path: str | Path) -> Any:
    """Read a JSON file."""
    return json.loads(Path(path).read_text(encoding="utf-8"))
