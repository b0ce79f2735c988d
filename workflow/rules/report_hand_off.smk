"""Reads the chart, what is open, the tables; writes what committee and other programs are handed."""


rule write_hand_off:
    """Write the ballot, the vocabulary, the colours, and every table in one workbook."""
    input:
        chart="results/{study}/report/chart.json",
        translations=translated_charts,
        tables=open_tables,
        about="results/{study}/validation/study.json",
        names="results/{study}/validation/names.csv",
        decisions="results/{study}/validation/decisions.csv",
        labels="results/{study}/validation/labels.csv",
        whose="results/{study}/comparison/chart.json",
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
        ballot="results/{study}/report/ballot.html",
        ballot_workbook="results/{study}/report/ballot.xlsx",
        turtle="results/{study}/report/vocabulary.ttl",
        jsonld="results/{study}/report/vocabulary.jsonld",
        palette="results/{study}/report/colours.gpl",
        colour_table="results/{study}/report/colour_table.csv",
        workbook="results/{study}/report/tables.xlsx",
    log:
        "results/{study}/logs/write_hand_off.log",
    benchmark:
        "results/{study}/benchmarks/write_hand_off.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_hand_off"),
        study="{study}",
        folder="results/{study}",
        populations=lambda wildcards: counted_populations(wildcards.study),
        enough=own("tiers", "firm_in_universes"),
        limits={name: config["intake"][name] for name in ("longest_label", "longest_text")},
        left_out=personal_tables,
        smallest_cell=config["privacy"]["smallest_cell"],
    script:
        "../../scripts/write_hand_off.py"
