"""Step: the figures about the people and about their populations."""

from collections.abc import Sequence
from typing import Any

from felloe.comparison.steps import draw_populations
from felloe.validation.steps import draw_people


def main(
    *,
    lexicon: str,
    about: str,
    participants: str,
    stability: str,
    stability_record: str,
    smallest_cell: int,
    people_figures: list[str],
    preview: bool = False,
    fonts: Sequence[str] = (),
    **populations: Any,
) -> None:
    """Draw how stable and how coarse the sorts are, then the populations compared."""
    shared: dict[str, Any] = {"about": about, "preview": preview, "fonts": fonts}
    names = [f"{name}_{kind}" for name in draw_people.FIGURES for kind in draw_people.KINDS]
    files: dict[str, Any] = dict(zip(names, people_figures, strict=True))
    draw_people.main(
        **shared,
        terms=lexicon,
        participants=participants,
        table=stability,
        record=stability_record,
        smallest_cell=smallest_cell,
        **files,
    )
    draw_populations.main(**shared, lexicon=lexicon, **populations)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
