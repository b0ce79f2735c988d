"""Reads three editions and more and their comparisons; writes every term's path through them."""


def of_each(name):
    """Return what gives a result of every study of a timeline, oldest first."""
    return lambda wildcards: [
        f"results/{study}/{name}" for study in TIMELINES[wildcards.older, wildcards.newer]
    ]


def of_each_pair(name):
    """Return what gives a result of the comparison of every edition with the next one."""
    return lambda wildcards: [
        f"results/editions/{folder_of(pair)}/{name}"
        for pair in pairs_of([TIMELINES[wildcards.older, wildcards.newer]])
    ]


def timeline_fonts(wildcards):
    """Return the font files of all editions, those of the newest first."""
    return fonts_of(reversed(TIMELINES[wildcards.older, wildcards.newer]))


rule trace_timeline:
    """Follow every term and every class from each edition to the next."""
    input:
        about=of_each("validation/study.json"),
        terms=of_each("validation/terms.csv"),
        published=of_each("tiers/published.csv"),
        data_only=of_each("tiers/data_only.csv"),
        shares=of_each("clustering/class_shares.csv"),
        compared=of_each_pair("comparison.json"),
        became=of_each_pair("terms.csv"),
    output:
        table="results/editions/{older}--{newer}/timeline.csv",
        record="results/editions/{older}--{newer}/timeline.json",
    log:
        "results/editions/{older}--{newer}/logs/trace_timeline.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/trace_timeline.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("trace_timeline"),
        studies=timeline_of,
    script:
        "../../scripts/trace_timeline.py"


rule draw_timeline:
    """Draw a line for every term and a band for every class, edition by edition."""
    input:
        table="results/editions/{older}--{newer}/timeline.csv",
        record="results/editions/{older}--{newer}/timeline.json",
        fonts=timeline_fonts,
    output:
        paths=multiext("results/editions/{older}--{newer}/timeline", ".svg", ".pdf", ".png"),
    log:
        "results/editions/{older}--{newer}/logs/draw_timeline.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/draw_timeline.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_timeline"),
        preview=config["preview"],
    script:
        "../../scripts/draw_timeline.py"


rule report_timeline:
    """Tell in one page which terms moved and when, and what became of the classes."""
    input:
        table="results/editions/{older}--{newer}/timeline.csv",
        record="results/editions/{older}--{newer}/timeline.json",
        figures=multiext("results/editions/{older}--{newer}/timeline", ".svg", ".png"),
    output:
        report="results/editions/{older}--{newer}/timeline.html",
    log:
        "results/editions/{older}--{newer}/logs/report_timeline.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/report_timeline.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("report_timeline"),
        folder=subpath(output.report, parent=True),
    script:
        "../../scripts/report_timeline.py"
