"""Reads the analysed sorts; writes the counts per population and pooled."""


rule count_cooccurrence:
    """Count who put two terms together, and who placed both."""
    input:
        sorts="results/{study}/validation/analysed.csv",
    output:
        together="results/{study}/matrices/{population}.together.csv",
        both="results/{study}/matrices/{population}.both.csv",
    log:
        "results/{study}/logs/count_cooccurrence/{population}.log",
    benchmark:
        "results/{study}/benchmarks/count_cooccurrence/{population}.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("count_cooccurrence"),
        population="{population}",
    script:
        "../../scripts/count_cooccurrence.py"
