"""Reads the chart and the study's labels; writes the chart in its further languages."""


rule translate_chart:
    """Put the wording of another language into the chart."""
    input:
        chart="results/{study}/report/chart.json",
        labels="results/{study}/validation/labels.csv",
    output:
        translated_chart="results/{study}/report/chart.{language}.json",
    log:
        "results/{study}/logs/translate_chart/{language}.log",
    benchmark:
        "results/{study}/benchmarks/translate_chart/{language}.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("translate_chart"),
        language="{language}",
        unfit=config["tiers"]["unfit_names"],
    script:
        "../../scripts/translate_chart.py"
