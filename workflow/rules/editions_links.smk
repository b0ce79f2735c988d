"""Reads the lexicons and crosswalk of two studies; writes what became of each word, and for whom."""

LINKED = (
    "links.csv",
    "crosswalk_suggested.csv",
    "crosswalk.ttl",
    "members.html",
    "members.csv",
    "members.xlsx",
)


rule link_editions:
    """Hold the newer study's crosswalk against the older one; link every term; propose more."""
    input:
        older_terms="results/{older}/validation/terms.csv",
        newer_terms="results/{newer}/validation/terms.csv",
        crosswalk="results/{newer}/validation/crosswalk.csv",
    output:
        links="results/editions/{older}--{newer}/links.csv",
        suggested="results/editions/{older}--{newer}/crosswalk_suggested.csv",
    log:
        "results/editions/{older}--{newer}/logs/link_editions.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/link_editions.tsv"
    priority: 10  # what is wrong with it is told before anything is computed
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("link_editions"),
        older="{older}",
        newer="{newer}",
        source=lambda wildcards: table_of_study(wildcards.newer, "crosswalk"),
        faults="results/editions/{older}--{newer}/logs/faults.csv",
        studies=sorted(config["studies"]),
    script:
        "../../scripts/link_editions.py"


rule write_crosswalk:
    """Map the terms and classes of the older vocabulary to the newer one."""
    input:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        links="results/editions/{older}--{newer}/links.csv",
        older_about="results/{older}/validation/study.json",
        newer_about="results/{newer}/validation/study.json",
        older_terms="results/{older}/validation/terms.csv",
        newer_terms="results/{newer}/validation/terms.csv",
    output:
        crosswalk="results/editions/{older}--{newer}/crosswalk.ttl",
    log:
        "results/editions/{older}--{newer}/logs/write_crosswalk.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/write_crosswalk.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_crosswalk"),
    script:
        "../../scripts/write_crosswalk.py"


rule write_members:
    """Tell members what became of every older word, where it is now, and why."""
    input:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        links="results/editions/{older}--{newer}/links.csv",
        older_about="results/{older}/validation/study.json",
        newer_about="results/{newer}/validation/study.json",
        older_terms="results/{older}/validation/terms.csv",
        newer_terms="results/{newer}/validation/terms.csv",
    output:
        page="results/editions/{older}--{newer}/members.html",
        table="results/editions/{older}--{newer}/members.csv",
        workbook="results/editions/{older}--{newer}/members.xlsx",
    log:
        "results/editions/{older}--{newer}/logs/write_members.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/write_members.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_members"),
    script:
        "../../scripts/write_members.py"
