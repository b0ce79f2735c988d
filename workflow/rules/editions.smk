"""Reads the results of two studies; writes how the newer edition stands to the older one."""

EDITION_RESULTS = (
    "validation/study.json",
    "validation/terms.csv",
    "validation/analysed.csv",
    "clustering/distances.csv",
    "clustering/linkage.csv",
    "tiers/data_only.csv",
    "tiers/published.csv",
    "circle/order.csv",
)
EDITION_FIGURES = ("migration", "distances")


rule compare_editions:
    """Compare two editions on their common terms: distances, people, classes, trees, orders."""
    input:
        older_results=expand("results/{{older}}/{name}", name=EDITION_RESULTS),
        newer_results=expand("results/{{newer}}/{name}", name=EDITION_RESULTS),
    output:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        crosswalk="results/editions/{older}--{newer}/crosswalk.ttl",
    log:
        "results/editions/{older}--{newer}/logs/compare_editions.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/compare_editions.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("compare_editions"),
        older="{older}",
        newer="{newer}",
        settings={
            "seed": config["seed"],
            "bounds": config["migration"],
            "permutations": config["comparison"]["permutations"],
            "redraws": config["comparison"]["bootstrap"],
            "halves": config["stability"]["halves"],
        },
    script:
        "../../scripts/compare_editions.py"


rule draw_editions:
    """Draw where the older classes' terms went, and the distances of both editions."""
    input:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        older_distances="results/{older}/clustering/distances.csv",
        newer_distances="results/{newer}/clustering/distances.csv",
    output:
        migration=multiext(
            "results/editions/{older}--{newer}/figures/migration", ".svg", ".pdf", ".png"
        ),
        distances=multiext(
            "results/editions/{older}--{newer}/figures/distances", ".svg", ".pdf", ".png"
        ),
    log:
        "results/editions/{older}--{newer}/logs/draw_editions.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/draw_editions.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_editions"),
    script:
        "../../scripts/draw_editions.py"


rule report_editions:
    """Tell what became of the vocabulary in one page that opens without a network."""
    input:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        crosswalk="results/editions/{older}--{newer}/crosswalk.ttl",
        figures=expand(
            "results/editions/{{older}}--{{newer}}/figures/{name}.{kind}",
            name=EDITION_FIGURES,
            kind=["svg", "png"],
        ),
    output:
        report="results/editions/{older}--{newer}/report.html",
    log:
        "results/editions/{older}--{newer}/logs/report_editions.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/report_editions.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("report_editions"),
        folder=subpath(output.report, parent=True),
    script:
        "../../scripts/report_editions.py"
