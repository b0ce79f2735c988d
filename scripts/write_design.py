"""Step: who was shown what, in one form, where everybody was shown some terms."""

from felloe.validation.tables import DESIGN, SORTS


def main(*, sorts: str, design: str) -> None:
    """Take participant, term and position from the checked sorts, which have a row for each."""
    rows = SORTS.read(sorts)
    DESIGN.write(design, ([row[name] for name in DESIGN.names] for row in rows))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
