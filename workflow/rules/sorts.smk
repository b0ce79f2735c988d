"""Reads a study's folder; writes the checked sorts, who is analysed and why, how stable they are."""


rule validate_sorts:
    """Check every file of a study and write it in one form, or list every fault."""
    input:
        files=study_files,
        code=code_of("validate_sorts"),
    output:
        settings=update("results/{study}/validation/study.json"),
        terms=update("results/{study}/validation/terms.csv"),
        sorts=update("results/{study}/validation/sorts.csv"),
        register=update("results/{study}/validation/register.csv"),
        names=update("results/{study}/validation/names.csv"),
        decisions=update("results/{study}/validation/decisions.csv"),
        colours=update("results/{study}/validation/colours.csv"),
        findings=update("results/{study}/validation/findings.csv"),
    log:
        "results/{study}/logs/validate_sorts.log",
    benchmark:
        "results/{study}/benchmarks/validate_sorts.tsv"
    conda:
        "../envs/study.yaml"
    params:
        folder=lambda wildcards: config["studies"][wildcards.study],
        faults="results/{study}/logs/faults.csv",
        limits=config["intake"],
    script:
        "../../scripts/validate_sorts.py"


rule screen_participants:
    """Describe how each participant did the task; leave out whom the rules name; count everybody."""
    input:
        validated=ancient(all_validated()),
        sorts="results/{study}/validation/sorts.csv",
        register="results/{study}/validation/register.csv",
        terms="results/{study}/validation/terms.csv",
        code=code_of("screen_participants"),
    output:
        participants="results/{study}/validation/participants.csv",
        flow_table="results/{study}/validation/flow.csv",
        analysed="results/{study}/validation/analysed.csv",
        granularity="results/{study}/validation/granularity.csv",
    log:
        "results/{study}/logs/screen_participants.log",
    benchmark:
        "results/{study}/benchmarks/screen_participants.tsv"
    conda:
        "../envs/study.yaml"
    params:
        rules=config["screening"],
        limits=config["intake"],
    script:
        "../../scripts/screen_participants.py"
