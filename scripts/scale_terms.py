"""Step: the map of terms, its redraws, and what it is worth."""

from typing import Any

from felloe.circle.steps import judge_map, redraw_maps, scale_terms


def main(
    *,
    distances: str,
    sorts: str,
    chart: str,
    study: str,
    seed: int,
    settings: dict[str, Any],
    points: str,
    scaling: str,
    shepard: str,
    dimensions: str,
    ellipses: str,
    null: str,
    map: str,
    record: str,
    prior: float | None = None,
) -> None:
    """Scale, redraw people and shuffle terms, lay side by side."""
    keyed: dict[str, Any] = {"study": study, "seed": seed, "settings": settings}
    scale_terms.main(
        **keyed,
        distances=distances,
        points=points,
        record=scaling,
        shepard=shepard,
        dimensions=dimensions,
    )
    drawn: dict[str, Any] = {
        "points": points,
        "scaling": scaling,
        "ellipses": ellipses,
        "null": null,
    }
    redraw_maps.main(**keyed, **drawn, sorts=sorts, chart=chart, prior=prior)
    judge_map.main(**drawn, map=map, record=record)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
