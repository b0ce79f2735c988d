"""Reads the sorts and the published groups; writes these under other choices and in people's words."""

from itertools import product


rule explore_universes:
    """Build the classes under other reasonable choices, order redrawn circles, count people's words."""
    input:
        analysed="results/{study}/validation/analysed.csv",
        sorts="results/{study}/validation/sorts.csv",
        register="results/{study}/validation/register.csv",
        pile_words="results/{study}/validation/pile_words.csv",
        chart="results/{study}/comparison/chart.json",
        places="results/{study}/tiers/places.csv",
        summary="results/{study}/clustering/bootstrap.json",
    output:
        universes="results/{study}/sensitivity/universes.csv",
        terms="results/{study}/sensitivity/terms.csv",
        words="results/{study}/tiers/word_candidates.csv",
        neighbours="results/{study}/circle/class_neighbours.csv",
    log:
        "results/{study}/logs/explore_universes.log",
    benchmark:
        "results/{study}/benchmarks/explore_universes.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("explore_universes"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        choices=[
            {"screening": screening, "weighting": weighting}
            for screening, weighting in product(
                config["sensitivity"]["screening"], config["sensitivity"]["weighting"]
            )
        ],
        linkages=config["sensitivity"]["linkage"],
        linkage=own("clustering", "linkage"),
        classes_around=config["sensitivity"]["classes_around"],
        replicates=config["circle"]["adjacency_replicates"],
        smallest_cell=config["privacy"]["smallest_cell"],
    script:
        "../../scripts/explore_universes.py"
