"""Reads every result of a study; writes its report, its workbook and its manifest."""


include: "results.smk"


rule write_report:
    """Tell the whole study in one page that opens without a network."""
    input:
        results=computed_results(".csv", ".json", ".svg", ".png"),
        code=code_of("write_report"),
    output:
        report="results/{study}/report/report.html",
    log:
        "results/{study}/logs/write_report.log",
    benchmark:
        "results/{study}/benchmarks/write_report.tsv"
    conda:
        "../envs/study.yaml"
    params:
        study="{study}",
        folder="results/{study}",
        settings={key: value for key, value in config.items() if key != "studies"},
    script:
        "../../scripts/write_report.py"


rule write_workbook:
    """Put every table into one workbook, with a first sheet that explains the columns."""
    input:
        tables=computed_results(".csv"),
        code=code_of("write_workbook"),
    output:
        workbook="results/{study}/report/tables.xlsx",
    log:
        "results/{study}/logs/write_workbook.log",
    benchmark:
        "results/{study}/benchmarks/write_workbook.tsv"
    conda:
        "../envs/study.yaml"
    params:
        study="{study}",
        folder="results/{study}",
    script:
        "../../scripts/write_workbook.py"


rule write_manifest:
    """Record the hashes of inputs and outputs, the settings, the seed and the versions."""
    input:
        inputs=study_files,
        results=lambda wildcards: declared_results(wildcards.study),
        dossier="results/{study}/comparison/populations.json",
        code=code_of("write_manifest"),
    output:
        manifest="results/{study}/manifest.json",
    log:
        "results/{study}/logs/write_manifest.log",
    benchmark:
        "results/{study}/benchmarks/write_manifest.tsv"
    conda:
        "../envs/study.yaml"
    params:
        study="{study}",
        folder=subpath(output.manifest, parent=True),
        source=lambda wildcards: config["studies"][wildcards.study],
        settings={key: value for key, value in config.items() if key != "studies"},
    script:
        "../../scripts/write_manifest.py"
