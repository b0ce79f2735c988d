"""Reads the open questions, their evidence and prices; writes the ballot."""


rule write_ballot:
    """Put the open questions to the committee, as a page and as a spreadsheet to fill in."""
    input:
        chart="results/{study}/report/chart.json",
        about="results/{study}/validation/study.json",
        names="results/{study}/validation/names.csv",
        decisions="results/{study}/validation/decisions.csv",
        labels="results/{study}/validation/labels.csv",
        together=lambda wildcards: counts_of(wildcards.study, "together"),
        both=lambda wildcards: counts_of(wildcards.study, "both"),
        distances="results/{study}/clustering/distances.csv",
        class_support="results/{study}/clustering/classes.csv",
        data_only="results/{study}/tiers/data_only.csv",
        published="results/{study}/tiers/published.csv",
        groups="results/{study}/tiers/groups.csv",
        decided="results/{study}/tiers/decisions.csv",
        moves="results/{study}/tiers/prices.csv",
        other_classes="results/{study}/tiers/regroupings.csv",
        questions="results/{study}/tiers/questions.csv",
        held="results/{study}/sensitivity/terms.csv",
        word_candidates="results/{study}/tiers/word_candidates.csv",
    output:
        page="results/{study}/report/ballot.html",
        workbook="results/{study}/report/ballot.xlsx",
    log:
        "results/{study}/logs/write_ballot.log",
    benchmark:
        "results/{study}/benchmarks/write_ballot.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_ballot"),
        study="{study}",
        populations=lambda wildcards: counted_populations(wildcards.study),
        enough=own("tiers", "firm_in_universes"),
        limits={name: config["intake"][name] for name in ("longest_label", "longest_text")},
    script:
        "../../scripts/write_ballot.py"
