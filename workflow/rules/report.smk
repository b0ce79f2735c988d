"""Reads every result of a study; writes its report, its workbook and its manifest."""

from snakemake.io import is_flagged


def declared_results(study, suffixes=None):
    """Return the lasting results that the rules declare for a study, in sorted order."""
    values = [{"study": study, "population": name} for name in [*populations_of(study), "pooled"]]
    items = [item for each in workflow.rules for item in each.output]
    paths = {
        str(item.apply_wildcards(value))
        for item in items
        for value in values
        if "study" in item.get_wildcard_names() and not is_flagged(item, "temp")
    }
    paths.discard(f"results/{study}/manifest.json")
    return sorted(path for path in paths if suffixes is None or path.endswith(suffixes))


def computed_results(*suffixes):
    """Return the input function of a document: the results it is made from, no documents."""

    def of_study(wildcards):
        paths = declared_results(wildcards.study, suffixes)
        return [path for path in paths if f"{wildcards.study}/report/" not in path]

    return of_study


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
        folder="results/{study}",
        source=lambda wildcards: config["studies"][wildcards.study],
        settings={key: value for key, value in config.items() if key != "studies"},
    script:
        "../../scripts/write_manifest.py"
