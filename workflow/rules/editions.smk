"""Reads the results of two studies; writes how the newer edition stands to the older one."""


include: "editions_links.smk"


EDITION_FIGURES = ("wheels", "migration", "distances")
KINDS = ("svg", "pdf", "png")  # of a timeline
COMPARED = [
    *("comparison.json", "terms.csv", *LINKED, "report.html"),
    *(path for name in EDITION_FIGURES for path in drawn(f"figures/{name}")),
]
FOLLOWED = ["timeline.csv", "timeline.json", "timeline.html", *(f"timeline.{k}" for k in KINDS)]


def timeline_of(wildcards):
    """Return the studies whose timeline stands in a folder of editions; none if there is none."""
    return TIMELINES.get((wildcards.older, wildcards.newer), [])


def edition_results(wildcards):
    """Return the results of a folder: of a comparison, of a timeline, or of both."""
    pair = (wildcards.older, wildcards.newer)
    names = (COMPARED if pair in PAIRS else []) + (FOLLOWED if pair in TIMELINES else [])
    return [f"results/editions/{wildcards.older}--{wildcards.newer}/{name}" for name in names]


rule compare_editions:
    """Compare two editions on their common terms: distances, people, classes, trees, orders."""
    input:
        older_about="results/{older}/validation/study.json",
        older_terms="results/{older}/validation/terms.csv",
        older_sorts="results/{older}/validation/analysed.csv",
        older_distances="results/{older}/clustering/distances.csv",
        older_tree="results/{older}/clustering/linkage.csv",
        older_data_only="results/{older}/tiers/data_only.csv",
        older_published="results/{older}/tiers/published.csv",
        older_order="results/{older}/circle/order.csv",
        older_chart="results/{older}/comparison/chart.json",
        newer_about="results/{newer}/validation/study.json",
        newer_terms="results/{newer}/validation/terms.csv",
        newer_sorts="results/{newer}/validation/analysed.csv",
        newer_distances="results/{newer}/clustering/distances.csv",
        newer_tree="results/{newer}/clustering/linkage.csv",
        newer_data_only="results/{newer}/tiers/data_only.csv",
        newer_published="results/{newer}/tiers/published.csv",
        newer_order="results/{newer}/circle/order.csv",
        newer_chart="results/{newer}/comparison/chart.json",
        links="results/editions/{older}--{newer}/links.csv",
    output:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
    log:
        "results/editions/{older}--{newer}/logs/compare_editions.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/compare_editions.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("compare_editions"),
        priors=lambda wildcards: [prior_of_study(wildcards.older), prior_of_study(wildcards.newer)],
        older="{older}",
        newer="{newer}",
        seed=config["seed"],
        settings={
            "permutations": config["comparison"]["permutations"],
            "shape_permutations": config["comparison"]["shape_permutations"],
            "halves": config["stability"]["halves"],
            "granularity_bins": config["comparison"]["granularity_bins"],
            "level": config["comparison"]["margins"]["alpha"],
        },
        bounds=config["migration"],
        smallest_cell=config["privacy"]["smallest_cell"],
        linkages=lambda wildcards: [
            OWN[study]["clustering"]["linkage"] for study in (wildcards.older, wildcards.newer)
        ],
        preview=config["preview"],
    script:
        "../../scripts/compare_editions.py"


rule draw_editions:
    """Draw where the older classes' terms went, the distances of both editions, both wheels."""
    input:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        older_distances="results/{older}/clustering/distances.csv",
        newer_distances="results/{newer}/clustering/distances.csv",
        older_order="results/{older}/circle/order.csv",
        newer_order="results/{newer}/circle/order.csv",
        newer_colours="results/{newer}/circle/colours.csv",
        older_chart="results/{older}/report/chart.json",
        newer_chart="results/{newer}/report/chart.json",
        fonts=edition_fonts,
    output:
        **{
            name: drawn(f"results/editions/{{older}}--{{newer}}/figures/{name}")
            for name in EDITION_FIGURES
        },
    log:
        "results/editions/{older}--{newer}/logs/draw_editions.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/draw_editions.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_editions"),
        pdf=config["figures"]["pdf"],
        preview=config["preview"],
    script:
        "../../scripts/draw_editions.py"


rule report_editions:
    """Tell machines, members and everybody else what became of the vocabulary."""
    input:
        comparison="results/editions/{older}--{newer}/comparison.json",
        terms="results/editions/{older}--{newer}/terms.csv",
        links="results/editions/{older}--{newer}/links.csv",
        older_about="results/{older}/validation/study.json",
        newer_about="results/{newer}/validation/study.json",
        older_terms="results/{older}/validation/terms.csv",
        newer_terms="results/{newer}/validation/terms.csv",
        figures=expand(
            "results/editions/{{older}}--{{newer}}/figures/{name}.{kind}",
            name=EDITION_FIGURES,
            kind=["svg", "png"],
        ),
    output:
        crosswalk="results/editions/{older}--{newer}/crosswalk.ttl",
        page="results/editions/{older}--{newer}/members.html",
        members="results/editions/{older}--{newer}/members.csv",
        workbook="results/editions/{older}--{newer}/members.xlsx",
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


rule write_edition_manifest:
    """Record the hashes of what comparison and timeline read and wrote, settings and versions."""
    input:
        results=edition_results,
    output:
        manifest="results/editions/{older}--{newer}/manifest.json",
        sums="results/editions/{older}--{newer}/SHA256SUMS",
        environment="results/editions/{older}--{newer}/environment.json",
    log:
        "results/editions/{older}--{newer}/logs/write_edition_manifest.log",
    benchmark:
        "results/editions/{older}--{newer}/benchmarks/write_edition_manifest.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_edition_manifest"),
        older="{older}",
        newer="{newer}",
        timeline=timeline_of,
        folder=subpath(output.manifest, parent=True),
        settings_files=settings_files,
        identity=IDENTITY,
        config=lambda wildcards: fed_back(config, wildcards.newer),
        reads_ledger=True,
    script:
        "../../scripts/write_edition_manifest.py"
