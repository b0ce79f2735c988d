"""Reads the chart; writes its colours for whoever draws it anew."""


rule write_swatches:
    """Write the colours of the chart as a palette for drawing programs and as a table."""
    input:
        chart="results/{study}/report/chart.json",
    output:
        palette="results/{study}/report/colours.gpl",
        table="results/{study}/report/colour_table.csv",
    log:
        "results/{study}/logs/write_swatches.log",
    benchmark:
        "results/{study}/benchmarks/write_swatches.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_swatches"),
    script:
        "../../scripts/write_swatches.py"
