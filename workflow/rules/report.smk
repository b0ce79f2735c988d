"""Reads every result of a study; writes wheel, vocabulary, report, workbook and manifest."""


include: "results.smk"
include: "report_colours.smk"
include: "report_ballot.smk"
include: "report_cards.smk"
include: "report_languages.smk"
include: "report_page.smk"


rule assemble_chart:
    """Put the whole chart together as data: tiers, order, angles, supports, colours."""
    input:
        about="results/{study}/validation/study.json",
        terms="results/{study}/validation/terms.csv",
        decisions="results/{study}/validation/decisions.csv",
        flow="results/{study}/validation/flow.csv",
        whose="results/{study}/comparison/chart.json",
        published="results/{study}/tiers/published.csv",
        groups="results/{study}/tiers/groups.csv",
        support="results/{study}/clustering/support.csv",
        distances="results/{study}/clustering/distances.csv",
        tree="results/{study}/tiers/published_linkage.csv",
        adjacency="results/{study}/circle/adjacency.csv",
        order="results/{study}/circle/order.csv",
        colours="results/{study}/circle/colours.csv",
    output:
        chart="results/{study}/report/chart.json",
    log:
        "results/{study}/logs/assemble_chart.log",
    benchmark:
        "results/{study}/benchmarks/assemble_chart.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("assemble_chart"),
        limits=own_block("tiers", "firm_probability", "undecided_probability"),
    script:
        "../../scripts/assemble_chart.py"


rule draw_wheel:
    """Draw the chart for the wall and for the desk: hub, spokes and felloes."""
    input:
        chart="results/{study}/report/chart{tag}.json",
        fonts=font_files,
    output:
        svg="results/{study}/figures/wheel{tag}.svg",
        pdf="results/{study}/figures/wheel{tag}.pdf",
        png="results/{study}/figures/wheel{tag}.png",
        outlined="results/{study}/figures/wheel_outlined{tag}.svg",
        svg_a4="results/{study}/figures/wheel_a4{tag}.svg",
        pdf_a4="results/{study}/figures/wheel_a4{tag}.pdf",
    log:
        "results/{study}/logs/draw_wheel/wheel{tag}.log",
    benchmark:
        "results/{study}/benchmarks/draw_wheel/wheel{tag}.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_wheel"),
        bleed_mm=config["wheel"]["bleed_mm"],
        weak=config["circle"]["weak_adjacency"],
    script:
        "../../scripts/draw_wheel.py"


rule write_report:
    """Tell the whole study in one page that opens without a network."""
    input:
        results=computed_results(".csv", ".json", ".svg", ".png"),
        translations=translated_charts,
    output:
        report="results/{study}/report/report.html",
    log:
        "results/{study}/logs/write_report.log",
    benchmark:
        "results/{study}/benchmarks/write_report.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_report"),
        study="{study}",
        folder="results/{study}",
        settings=settings_told,
    script:
        "../../scripts/write_report.py"


rule write_workbook:
    """Put every table into one workbook, with a first sheet that explains the columns."""
    input:
        tables=open_tables,
        whose="results/{study}/comparison/chart.json",
    output:
        workbook="results/{study}/report/tables.xlsx",
    log:
        "results/{study}/logs/write_workbook.log",
    benchmark:
        "results/{study}/benchmarks/write_workbook.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_workbook"),
        study="{study}",
        folder="results/{study}",
        left_out=personal_tables,
        smallest_cell=config["privacy"]["smallest_cell"],
    script:
        "../../scripts/write_workbook.py"


rule write_crate:
    """Describe the results for other programs, as an RO-Crate."""
    input:
        about="results/{study}/validation/study.json",
        inputs=study_files,
    output:
        crate="results/{study}/ro-crate-metadata.json",
    log:
        "results/{study}/logs/write_crate.log",
    benchmark:
        "results/{study}/benchmarks/write_crate.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_crate"),
        study="{study}",
        files=described_results,
        version=IDENTITY["version"],
    script:
        "../../scripts/write_crate.py"


rule write_manifest:
    """Record the hashes of inputs and outputs, the settings, the seed and the versions."""
    input:
        inputs=study_files,
        results=lambda wildcards: declared_results(wildcards.study),
        dossier="results/{study}/comparison/populations.json",
        protocol="results/{study}/validation/protocol.json",
        whose="results/{study}/comparison/chart.json",
    output:
        manifest="results/{study}/manifest.json",
        sums="results/{study}/SHA256SUMS",
        environment="results/{study}/environment.json",
    log:
        "results/{study}/logs/write_manifest.log",
    benchmark:
        "results/{study}/benchmarks/write_manifest.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("write_manifest"),
        study="{study}",
        folder=subpath(output.manifest, parent=True),
        source=lambda wildcards: config["studies"][wildcards.study],
        settings_files=settings_files,
        identity=IDENTITY,
        config=lambda wildcards: fed_back(config, wildcards.study),
        reads_ledger=True,
    script:
        "../../scripts/write_manifest.py"
