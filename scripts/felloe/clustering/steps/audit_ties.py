"""Step: what depends on the order in which tied distances are met."""

from felloe.clustering.record import ties_record
from felloe.clustering.rows import write_ties
from felloe.clustering.ties import audit_ties, input_orders
from felloe.clustering.tree_files import read_distances
from felloe.ground.files.records import read_json, write_json
from felloe.ground.randomness import Streams


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
) -> None:
    """Write the share of input orders in which each term changes its group, and the totals."""
    apart, chosen = read_distances(distances), read_json(summary)
    tried = input_orders(len(apart.terms), Streams(seed, study), orders)
    numbers = chosen["classes"]["number"], chosen["subclasses"]["number"]
    found = audit_ties(apart, method, tried, *numbers)
    write_ties(ties, found)
    write_json(audit, ties_record(found))
