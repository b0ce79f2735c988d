"""Step: describe how everybody did the task, leave out whom the rules say, account for all."""

import numpy as np
from felloe.ground.sorts import Sorts
from felloe.ground.tables import read_table, write_table
from felloe.validation.granularity import MEASURES, SUMMARY_COLUMNS, summaries
from felloe.validation.screening import FLOW_COLUMNS, check_left, flow, screened
from felloe.validation.tables import read_received, write_analysed


def main(
    *,
    sorts,
    register,
    terms,
    rules,
    limits,
    participants,
    analysed,
    granularity,
    flow_table,
    validated=(),
):
    """Read what was validated; write participants, flow, the analysed sorts and the granularity."""
    received = read_received(sorts, register)
    labels = {row["term"]: row["label"] for row in read_table(terms)}
    people = screened(received, [labels[term] for term in received.sorts.terms], rules)
    check_left(received.sorts, people, limits)
    kept = np.array([person["status"] == "kept" for person in people])
    everybody = received.sorts
    chosen = Sorts(
        tuple(np.array(everybody.participants, dtype=object)[kept]),
        tuple(np.array(everybody.populations, dtype=object)[kept]),
        everybody.terms,
        everybody.piles[kept],
    )
    columns = list(people[0])
    write_table(participants, columns, people)
    write_table(flow_table, FLOW_COLUMNS, flow(people))
    write_table(granularity, SUMMARY_COLUMNS, summaries(people, MEASURES))
    write_analysed(analysed, chosen)
    print(f"{kept.sum()} of {len(people)} participants are analysed")


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
