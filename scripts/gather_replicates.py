"""Step: what the replicates say about the tree, its numbers of classes, and what ties decide."""

from typing import Any

from felloe.clustering.steps import audit_ties, gather_replicates


def main(
    *,
    distances: str,
    summary: str,
    study: str,
    seed: int,
    method: str,
    orders: int,
    ties: str,
    audit: str,
    **named: Any,
) -> None:
    """Gather, then build the tree for many input orders at the numbers that were chosen."""
    shared: dict[str, Any] = {
        "distances": distances, "summary": summary, "study": study, "seed": seed, "method": method,
    }  # fmt: skip
    gather_replicates.main(**shared, **named)
    audit_ties.main(**shared, orders=orders, ties=ties, audit=audit)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
