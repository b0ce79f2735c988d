"""Reads the chart; writes the cards for the tasting table."""


rule write_cards:
    """Write a card for every term, to print for the tasting table and to look at."""
    input:
        chart="results/{study}/report/chart{tag}.json",
        about="results/{study}/validation/study.json",
        fonts=font_files,
    output:
        page="results/{study}/report/cards{tag}.html",
        sheets="results/{study}/report/cards{tag}.pdf",
    log:
        "results/{study}/logs/write_cards/cards{tag}.log",
    benchmark:
        "results/{study}/benchmarks/write_cards/cards{tag}.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_cards"),
    script:
        "../../scripts/write_cards.py"
