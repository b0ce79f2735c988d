"""Step: who was shown what, in one form, where everybody was shown some terms."""

from pathlib import Path

from felloe.ground.files.tables import read_rows, write_texts
from felloe.validation.tables import DESIGN, SORTS


def main(*, sorts: str, design: str) -> None:
    """Take participant, term and position from the checked sorts, which have a row for each."""
    header, rows = read_rows(sorts)
    if tuple(header) != SORTS.names:
        raise ValueError(f"{Path(sorts).name} has the columns {header}")
    places = [header.index(name) for name in DESIGN.names]
    # millions of rows: cells are copied as they stand
    write_texts(design, DESIGN.names, ([row[place] for place in places] for row in rows))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
