"""Values of nested records by keys with dots."""

from collections.abc import Mapping
from typing import Any


def value_at(record: Any, key: str) -> Any:
    """Return what stands under a dotted key of a record, None if nothing does."""
    for part in key.split("."):
        if isinstance(record, Mapping):
            record = record.get(part)
        elif isinstance(record, list) and part.isdigit() and int(part) < len(record):
            record = record[int(part)]
        else:
            return None
    return record
