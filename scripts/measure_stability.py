"""Step: split halves, the learning curve, and what more participants would gain."""

from dataclasses import astuple, fields

from felloe.ground.charting import common_numbers
from felloe.ground.pairs import pair_vectors
from felloe.ground.randomness import Streams
from felloe.ground.records import read_json, write_json
from felloe.ground.tables import write_table
from felloe.validation.planning import plan, tiers_sentence
from felloe.validation.reliability import LINKAGE, Spread, learning_curve, split_halves
from felloe.validation.tables import read_analysed


def main(*, sorts, about, study, seed, settings, tiers, table, record):
    """Read the analysed sorts, repeat the study on parts of them, write spreads and plan."""
    analysed, streams = read_analysed(sorts), Streams(seed, study)
    labels = {**read_json(about)["populations"], "pooled": "All participants"}
    numbers = common_numbers(*tiers, len(analysed.terms))
    rows, plans = [], []
    for name in [*sorted(set(analysed.populations)), "pooled"]:
        members = analysed.of(name)
        half, whole = split_halves(
            pair_vectors(members.piles),
            members.populations,
            settings["halves"],
            streams.generator(f"split halves {name}"),
        )
        rows += [[name, *astuple(half)], [name, *astuple(whole)]]
        plans.append(plan(name, labels[name], whole, settings["target"]))
    vectors = pair_vectors(analysed.piles)
    steps = settings["curve_steps"], settings["curve_repeats"]
    curve = learning_curve(vectors, analysed.populations, *steps, numbers, streams)
    rows += [["pooled", *astuple(point)] for point in curve]
    write_table(table, ["population", *(field.name for field in fields(Spread))], rows)
    cuts = {"linkage": LINKAGE, "classes": numbers[0], "subclasses": numbers[1]}
    answer = f"{plans[-1]['sentence']} {tiers_sentence(curve, cuts)}"
    facts = {"answer": answer, "cuts": cuts, "halves": settings["halves"], "plans": plans}
    write_json(record, facts)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
