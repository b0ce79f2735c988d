"""Reads the sorts and the published classes; writes the classes under other reasonable choices."""

from itertools import product

import pandas
from snakemake.utils import Paramspace

UNIVERSES = Paramspace(
    pandas.DataFrame(
        product(config["sensitivity"]["screening"], config["sensitivity"]["weighting"]),
        columns=["screening", "weighting"],
    )
)


rule explore_universes:
    """Build the classes under one way of screening and weighing, all linkages and numbers."""
    input:
        analysed="results/{study}/validation/analysed.csv",
        sorts="results/{study}/validation/sorts.csv",
        register="results/{study}/validation/register.csv",
        chart="results/{study}/comparison/chart.json",
        places="results/{study}/tiers/places.csv",
        summary="results/{study}/clustering/bootstrap.json",
    output:
        part=temp(f"results/{{study}}/sensitivity/parts/{UNIVERSES.wildcard_pattern}.csv"),
    log:
        f"results/{{study}}/logs/explore_universes/{UNIVERSES.wildcard_pattern}.log",
    benchmark:
        f"results/{{study}}/benchmarks/explore_universes/{UNIVERSES.wildcard_pattern}.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("explore_universes"),
        prior=prior_of,
        universe=UNIVERSES.instance,
        linkages=config["sensitivity"]["linkage"],
        classes_around=config["sensitivity"]["classes_around"],
        smallest_cell=config["privacy"]["smallest_cell"],
    script:
        "../../scripts/explore_universes.py"


rule gather_universes:
    """Count for every term the universes that give it its published class."""
    input:
        parts=expand(
            "results/{{study}}/sensitivity/parts/{universe}.csv",
            universe=UNIVERSES.instance_patterns,
        ),
        places="results/{study}/tiers/places.csv",
        chart="results/{study}/comparison/chart.json",
        summary="results/{study}/clustering/bootstrap.json",
    output:
        universes="results/{study}/sensitivity/universes.csv",
        terms="results/{study}/sensitivity/terms.csv",
    log:
        "results/{study}/logs/gather_universes.log",
    benchmark:
        "results/{study}/benchmarks/gather_universes.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("gather_universes"),
        linkage=own("clustering", "linkage"),
    script:
        "../../scripts/gather_universes.py"


rule list_questions:
    """List what the committee is asked to decide, beside the tiers."""
    input:
        published="results/{study}/tiers/published.csv",
        evidence="results/{study}/tiers/evidence.csv",
        groups="results/{study}/tiers/groups.csv",
        classes="results/{study}/clustering/classes.csv",
        decided="results/{study}/tiers/decisions.csv",
        held="results/{study}/sensitivity/terms.csv",
    output:
        questions="results/{study}/tiers/questions.csv",
    log:
        "results/{study}/logs/list_questions.log",
    benchmark:
        "results/{study}/benchmarks/list_questions.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("list_questions"),
        enough=own("tiers", "firm_in_universes"),
    script:
        "../../scripts/list_questions.py"
