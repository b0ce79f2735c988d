"""Reads the picks and the circle; writes the colours and the figures that are drawn in them."""


rule choose_colours:
    """Choose the colour of every class, subclass and term, and check it."""
    input:
        picks="results/{study}/validation/colours.csv",
        places="results/{study}/tiers/places.csv",
        order="results/{study}/circle/order.csv",
    output:
        colours="results/{study}/circle/colours.csv",
    log:
        "results/{study}/logs/choose_colours.log",
    benchmark:
        "results/{study}/benchmarks/choose_colours.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("choose_colours"),
        settings=config["colours"],
        smallest_cell=config["privacy"]["smallest_cell"],
    script:
        "../../scripts/choose_colours.py"


rule draw_evidence:
    """Draw tree, matrix, numbers of classes, sensitivity, map and ring, and each population's chart."""
    input:
        linkage="results/{study}/clustering/linkage.csv",
        distances="results/{study}/clustering/distances.csv",
        support="results/{study}/clustering/support.csv",
        class_support="results/{study}/clustering/classes.csv",
        chart="results/{study}/tiers/data_only.csv",
        published="results/{study}/tiers/published.csv",
        summary="results/{study}/clustering/bootstrap.json",
        audit="results/{study}/clustering/ties.json",
        class_counts="results/{study}/clustering/class_counts.csv",
        universes="results/{study}/sensitivity/universes.csv",
        terms="results/{study}/validation/terms.csv",
        colours="results/{study}/circle/colours.csv",
        about="results/{study}/validation/study.json",
        whose="results/{study}/comparison/chart.json",
        map="results/{study}/circle/map.csv",
        map_record="results/{study}/circle/map.json",
        shepard="results/{study}/circle/shepard.csv",
        dimensions="results/{study}/circle/dimensions.csv",
        order="results/{study}/circle/order.csv",
        record="results/{study}/circle/order.json",
        adjacency="results/{study}/circle/adjacency.csv",
        table="results/{study}/circle/own_charts.csv",
        dossier="results/{study}/comparison/populations.json",
        fonts=font_files,
    output:
        **{
            f"{name}_figure": drawn(f"results/{{study}}/figures/{name}")
            for name in (
                *("dendrogram", "matrix", "class_counts", "sensitivity"),
                *("map", "shepard", "ring", "own_charts"),
            )
        },
    log:
        "results/{study}/logs/draw_evidence.log",
    benchmark:
        "results/{study}/benchmarks/draw_evidence.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_evidence"),
        pdf=config["figures"]["pdf"],
        preview=config["preview"],
        method=own("clustering", "linkage"),
    script:
        "../../scripts/draw_evidence.py"
