"""Reads the tree and its supports; writes where each term sits and how firmly."""


rule extract_tiers:
    """Place every term in its class and subclass, and list what the committee has to settle."""
    input:
        sorts="results/{study}/validation/analysed.csv",
        distances="results/{study}/clustering/distances.csv",
        linkage="results/{study}/clustering/linkage.csv",
        support="results/{study}/clustering/support.csv",
        class_support="results/{study}/clustering/classes.csv",
        homes="results/{study}/clustering/homes.csv",
        summary="results/{study}/clustering/bootstrap.json",
        ties="results/{study}/clustering/ties.csv",
        code=code_of("extract_tiers"),
    output:
        evidence="results/{study}/tiers/evidence.csv",
        choice="results/{study}/tiers/choice.json",
        undecided="results/{study}/tiers/undecided.csv",
    log:
        "results/{study}/logs/extract_tiers.log",
    benchmark:
        "results/{study}/benchmarks/extract_tiers.tsv"
    conda:
        "../envs/study.yaml"
    params:
        study="{study}",
        settings={
            name: value
            for name, value in config["tiers"].items()
            if not name.startswith(("classes", "subclasses"))
        },
    script:
        "../../scripts/extract_tiers.py"
