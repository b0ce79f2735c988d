"""Reads the charts of two studies and what became of the terms; draws both wheels on one sheet."""


rule draw_wheel_pair:
    """Draw both published wheels side by side, the terms that moved joined."""
    input:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        older_chart="results/{older}/report/chart.json",
        newer_chart="results/{newer}/report/chart.json",
        fonts=edition_fonts,
    output:
        wheels=multiext("results/editions/{older}--{newer}/figures/wheels", ".svg", ".pdf", ".png"),
    log:
        "results/editions/{older}--{newer}/logs/draw_wheel_pair.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/draw_wheel_pair.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_wheel_pair"),
    script:
        "../../scripts/draw_wheel_pair.py"
