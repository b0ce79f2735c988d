"""Reads the chart and the study's labels; writes the chart in its further languages, the vocabulary."""


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
        unfit=own("tiers", "unfit_names"),
    script:
        "../../scripts/translate_chart.py"


rule write_vocabulary:
    """Write the vocabulary as a SKOS concept scheme, its labels in every language of the study."""
    input:
        chart="results/{study}/report/chart.json",
        translations=translated_charts,
    output:
        turtle="results/{study}/report/vocabulary.ttl",
        jsonld="results/{study}/report/vocabulary.jsonld",
    log:
        "results/{study}/logs/write_vocabulary.log",
    benchmark:
        "results/{study}/benchmarks/write_vocabulary.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_vocabulary"),
        study="{study}",
    script:
        "../../scripts/write_vocabulary.py"
