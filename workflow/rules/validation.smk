"""Reads a study's folder; writes the checked sorts, who is analysed and why, how stable they are."""


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


rule check_protocol:
    """Hold settings, instruction, terms and populations against what was frozen before the data."""
    input:
        validated=ancient(all_validated()),
        about="results/{study}/validation/study.json",
        terms="results/{study}/validation/terms.csv",
        protocol=protocol_file,
    output:
        record="results/{study}/validation/protocol.json",
    log:
        "results/{study}/logs/check_protocol.log",
    benchmark:
        "results/{study}/benchmarks/check_protocol.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("check_protocol"),
        study="{study}",
        settings=lambda wildcards: of_study(fed_back(config, wildcards.study), wildcards.study),
    script:
        "../../scripts/check_protocol.py"


rule screen_participants:
    """Describe how each participant did the task; leave out whom the rules name; count everybody."""
    input:
        validated=ancient(all_validated()),
        sorts="results/{study}/validation/sorts.csv",
        register="results/{study}/validation/register.csv",
        terms="results/{study}/validation/terms.csv",
    output:
        participants="results/{study}/validation/participants.csv",
        flow="results/{study}/validation/flow.csv",
        exclusions="results/{study}/validation/exclusions.csv",
        analysed="results/{study}/validation/analysed.csv",
        granularity="results/{study}/validation/granularity.csv",
    log:
        "results/{study}/logs/screen_participants.log",
    benchmark:
        "results/{study}/benchmarks/screen_participants.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("screen_participants"),
        prior=prior_of,
        most_unseen=config["matrices"]["most_unseen_pairs"],
        rules=own_block("screening"),
        limits=config["intake"],
        smallest_cell=config["privacy"]["smallest_cell"],
    script:
        "../../scripts/screen_participants.py"


rule measure_stability:
    """Correlate halves and growing samples of the participants; say what more of them would gain."""
    input:
        sorts="results/{study}/validation/analysed.csv",
    output:
        table="results/{study}/validation/stability.csv",
        record="results/{study}/validation/stability.json",
    log:
        "results/{study}/logs/measure_stability.log",
    benchmark:
        "results/{study}/benchmarks/measure_stability.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("measure_stability"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        settings=config["stability"],
        linkage=config["comparison"]["linkage"],
        tiers=own_block("tiers", "classes", "classes_range", "subclasses", "subclasses_range"),
    script:
        "../../scripts/measure_stability.py"


rule draw_people:
    """Draw how stable the sorts are, and how coarse those of each population are."""
    input:
        participants="results/{study}/validation/participants.csv",
        terms="results/{study}/validation/terms.csv",
        about="results/{study}/validation/study.json",
        table="results/{study}/validation/stability.csv",
        record="results/{study}/validation/stability.json",
        fonts=font_files,
    output:
        stability_svg="results/{study}/figures/stability.svg",
        stability_pdf="results/{study}/figures/stability.pdf",
        stability_png="results/{study}/figures/stability.png",
        granularity_svg="results/{study}/figures/granularity.svg",
        granularity_pdf="results/{study}/figures/granularity.pdf",
        granularity_png="results/{study}/figures/granularity.png",
    log:
        "results/{study}/logs/draw_people.log",
    benchmark:
        "results/{study}/benchmarks/draw_people.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_people"),
        smallest_cell=config["privacy"]["smallest_cell"],
        preview=config["preview"],
    script:
        "../../scripts/draw_people.py"
