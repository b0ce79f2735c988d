"""Step: who is analysed and why; who put two terms together, and who placed both."""

from typing import Any

from felloe.matrices.steps import count_cooccurrence
from felloe.validation.steps import screen_participants


def main(
    *,
    analysed: str,
    populations: list[str],
    together: list[str],
    both: list[str],
    prior: float | None = None,
    unseen: str = "",
    observers: str = "",
    **screening: Any,
) -> None:
    """Leave out whom the rules name; count everybody else."""
    screen_participants.main(analysed=analysed, prior=prior, **screening)
    count_cooccurrence.main(
        sorts=analysed,
        populations=populations,
        together=together,
        both=both,
        prior=prior,
        unseen=unseen,
        observers=observers,
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
