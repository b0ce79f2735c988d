"""Reads the lexicons and crosswalk of two studies; writes what became of each word."""

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
