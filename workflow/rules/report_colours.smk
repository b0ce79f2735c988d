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


rule proof_wheel:
    """Draw the chart in grey and as people with a colour-vision deficiency see it."""
    input:
        chart="results/{study}/report/chart.json",
        fonts=font_files,
    output:
        proofs="results/{study}/figures/wheel_proofs.png",
    log:
        "results/{study}/logs/proof_wheel.log",
    benchmark:
        "results/{study}/benchmarks/proof_wheel.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("proof_wheel"),
        weak=config["circle"]["weak_adjacency"],
    script:
        "../../scripts/proof_wheel.py"
