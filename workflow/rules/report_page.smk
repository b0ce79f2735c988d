"""Reads the chart; writes the page of the wheel."""


rule write_wheel_page:
    """Write the interactive wheel as one page that opens without a network."""
    input:
        chart="results/{study}/report/chart{tag}.json",
        fonts=font_files,
    output:
        page="results/{study}/report/wheel{tag}.html",
    log:
        "results/{study}/logs/write_wheel_page/wheel{tag}.log",
    benchmark:
        "results/{study}/benchmarks/write_wheel_page/wheel{tag}.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_wheel_page"),
        weak=config["circle"]["weak_adjacency"],
        languages=lambda wildcards: tagged_languages(wildcards.study),
    script:
        "../../scripts/write_wheel_page.py"
