"""Step: what became of the vocabulary: for machines, for members, and as a report."""

from typing import Any

from felloe.editions.steps import report_editions, write_crosswalk, write_members
from felloe.ground.in_turn import in_turn


def main(*, comparison: str, terms: str, **named: Any) -> None:
    """Map the words, tell every older one, tell the comparison."""
    steps = (write_crosswalk.main, write_members.main, report_editions.main)
    in_turn(steps, {"comparison": comparison, "terms": terms, **named})


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
