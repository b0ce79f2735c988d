"""Step: where every term sits and how firmly, and what is published."""

from typing import Any

from felloe.ground.in_turn import in_turn
from felloe.tiers.steps import extract_tiers, publish_tiers


def main(*, evidence: str, **named: Any) -> None:
    """Place the terms, replay the committee's decisions, name the groups."""
    in_turn((extract_tiers.main, publish_tiers.main), {"evidence": evidence, **named})


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
