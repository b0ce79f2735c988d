"""Step: the dossier that answers whether the populations may be pooled."""

from felloe.comparison.chart import ChartSource, write_chart_source
from felloe.comparison.dossier import Settings
from felloe.comparison.record import chart_of, check_comparable, study_record
from felloe.comparison.study_dossier import compare_study
from felloe.comparison.tables import (
    consequence_table,
    pairs_table,
    splits_table,
    terms_table,
    trees_table,
)
from felloe.comparison.verdict import Margins
from felloe.ground.charting import common_numbers
from felloe.ground.counts import count_cooccurrence
from felloe.ground.randomness import Streams
from felloe.ground.records import read_json, write_json
from felloe.ground.tables import write_table
from felloe.validation.tables import read_analysed

DRAWN = ("permutations", "splits", "halves")


def main(*, sorts, about, study, seed, tiers, comparison,
         populations, chart, terms, pairs, splits, consequence, trees):  # fmt: skip
    """Read the analysed sorts, compare all populations, write the dossier and its tables."""
    sorted_by = read_analysed(sorts)
    numbers = common_numbers(*tiers, len(sorted_by.terms))
    drawn = {name: comparison[name] for name in DRAWN}
    settings = Settings(
        **drawn, bins=comparison["granularity_bins"], linkage=comparison["linkage"], numbers=numbers
    )
    margins = Margins(**comparison["margins"])
    check_comparable(study, sorted_by)
    found = compare_study(
        sorted_by.piles,
        sorted_by.populations,
        settings,
        margins,
        comparison["bootstrap"],
        Streams(seed, study),
    )
    ids, decisive = sorted_by.terms, found.decisive
    counts = [
        count_cooccurrence(sorted_by.of(name).piles)
        for name in (decisive.populations if decisive else ())
    ]
    write_table(trees, *trees_table(found, ids))
    write_table(terms, *terms_table(decisive, ids))
    write_table(pairs, *pairs_table(decisive, ids, counts))
    write_table(splits, *splits_table(decisive))
    write_table(consequence, *consequence_table(found, ids))
    charted = chart_of(
        study,
        decisive.verdict.verdict if decisive else None,
        sorted_by.populations,
        comparison["pooling"],
        comparison["chart_population"],
        comparison["equal_weights_ratio"],
    )
    labels = read_json(about)["populations"]
    record = study_record(
        found, sorted_by, labels, numbers, margins, comparison["pooling"], charted
    )
    write_json(populations, record)
    write_chart_source(chart, ChartSource(**charted))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
