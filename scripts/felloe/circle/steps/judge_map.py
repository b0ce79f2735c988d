"""Step: the map of terms beside its redraws, and what it is worth."""

from felloe.circle.map.rows import read_null_stress, write_map
from felloe.circle.record import map_record
from felloe.ground.files.records import read_json, write_json


def main(*, points: str, scaling: str, ellipses: str, null: str, map: str, record: str) -> None:
    """Lay side by side, judge, write."""
    write_map(map, points, ellipses)
    write_json(record, map_record(read_json(scaling), read_null_stress(null)))
