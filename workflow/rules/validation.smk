"""Reads a study's folder; writes the checked sorts."""


rule validate_sorts:
    """Check every file of a study and write it in one form, or list every fault."""
    input:
        files=study_files,
    output:
        settings=update("results/{study}/validation/study.json"),
        terms=update("results/{study}/validation/terms.csv"),
        sectors=update("results/{study}/validation/sectors.csv"),
        sorts=update("results/{study}/validation/sorts.csv"),
        register=update("results/{study}/validation/register.csv"),
        names=update("results/{study}/validation/names.csv"),
        decisions=update("results/{study}/validation/decisions.csv"),
        labels=update("results/{study}/validation/labels.csv"),
        crosswalk=update("results/{study}/validation/crosswalk.csv"),
        colours=update("results/{study}/validation/colours.csv"),
        pile_words=update("results/{study}/validation/pile_words.csv"),
        findings=update("results/{study}/validation/findings.csv"),
    log:
        "results/{study}/logs/validate_sorts.log",
    benchmark:
        "results/{study}/benchmarks/validate_sorts.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("validate_sorts"),
        study="{study}",
        source=lambda wildcards: config["studies"][wildcards.study],
        crosswalk_file=lambda wildcards: config["crosswalks"].get(wildcards.study),
        faults="results/{study}/logs/faults.csv",
        limits=config["intake"],
        most_unseen=config["matrices"]["most_unseen_pairs"],
        smallest_cell=config["privacy"]["smallest_cell"],
        identical_from=lambda wildcards: OWN[wildcards.study]["screening"][
            "identical_submissions"
        ]["minimum_terms"],
    script:
        "../../scripts/validate_sorts.py"


# Only studies whose participants were shown some terms have a design, and no rule may promise one to
# the others: a rule per study.
for study in [name for name in STUDIES if IN_PARTS[name]]:

    rule:
        """Write who was shown which term, in one form."""
        name:
            f"write_design_{study}"
        input:
            sorts=f"results/{study}/validation/sorts.csv",
        output:
            design=f"results/{study}/validation/design.csv",
        log:
            f"results/{study}/logs/write_design.log",
        benchmark:
            f"results/{study}/benchmarks/write_design.tsv"
        conda:
            "../envs/study.yaml"
        params:
            code=code_of("write_design"),
        script:
            "../../scripts/write_design.py"
