"""Reads every result of a study; writes wheel, vocabulary, report, workbook and manifest."""


include: "results.smk"
include: "report_chart.smk"
include: "report_hand_off.smk"


rule write_report:
    """Tell the whole study in one page; hold it against its protocol; describe and hash its results."""
    input:
        results=shown_results,
        others=other_results,
        translations=translated_charts,
        inputs=study_files,
        protocol=protocol_file,
        about="results/{study}/validation/study.json",
        terms="results/{study}/validation/terms.csv",
        dossier="results/{study}/comparison/populations.json",
        whose="results/{study}/comparison/chart.json",
    output:
        report="results/{study}/report/report.html",
        protocol_record="results/{study}/validation/protocol.json",
        crate="results/{study}/ro-crate-metadata.json",
        manifest="results/{study}/manifest.json",
        sums="results/{study}/SHA256SUMS",
        environment="results/{study}/environment.json",
    log:
        "results/{study}/logs/write_report.log",
    benchmark:
        "results/{study}/benchmarks/write_report.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_report"),
        study="{study}",
        folder="results/{study}",
        settings=lambda wildcards: of_study(fed_back(config, wildcards.study), wildcards.study),
        files=described_results,
        version=IDENTITY["version"],
        source=lambda wildcards: config["studies"][wildcards.study],
        settings_files=settings_files,
        identity=IDENTITY,
        config=lambda wildcards: fed_back(config, wildcards.study),
        reads_ledger=True,
    script:
        "../../scripts/write_report.py"
