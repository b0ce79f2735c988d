"""Step: how stable the sorts are, and the dossier on whether the populations may be pooled."""

from typing import Any

from felloe.comparison.steps import compare_populations
from felloe.validation.steps import measure_stability


def main(
    *,
    sorts: str,
    study: str,
    seed: int,
    tiers: dict[str, Any],
    compared: dict[str, Any],
    repeated: dict[str, Any],
    stability: str,
    stability_record: str,
    prior: float | None = None,
    **dossier: Any,
) -> None:
    """Repeat the study on parts of its people, then compare its populations."""
    shared: dict[str, Any] = {
        "sorts": sorts, "study": study, "seed": seed, "tiers": tiers, "prior": prior,
    }  # fmt: skip
    measure_stability.main(
        **shared,
        settings=repeated,
        linkage=compared["linkage"],
        table=stability,
        record=stability_record,
    )
    compare_populations.main(**shared, compared=compared, **dossier)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
