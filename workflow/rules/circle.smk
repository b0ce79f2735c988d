"""Reads published tiers, tree and distances; writes the map and the order around the circle."""


rule scale_terms:
    """Draw the terms on a map as a second opinion; redraw it, and say what it is worth."""
    input:
        distances="results/{study}/clustering/distances.csv",
        sorts="results/{study}/validation/analysed.csv",
        chart="results/{study}/comparison/chart.json",
    output:
        points="results/{study}/circle/points.csv",
        scaling="results/{study}/circle/scaling.json",
        shepard="results/{study}/circle/shepard.csv",
        dimensions="results/{study}/circle/dimensions.csv",
        ellipses="results/{study}/circle/ellipses.csv",
        null="results/{study}/circle/null_stress.csv",
        map="results/{study}/circle/map.csv",
        record="results/{study}/circle/map.json",
    log:
        "results/{study}/logs/scale_terms.log",
    benchmark:
        "results/{study}/benchmarks/scale_terms.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("scale_terms"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        settings=config["map"],
    script:
        "../../scripts/scale_terms.py"


rule order_circle:
    """Find the shortest circular order that the tree allows; gaps, angles, pose, evidence."""
    input:
        places="results/{study}/tiers/places.csv",
        evidence="results/{study}/tiers/evidence.csv",
        tree="results/{study}/tiers/published_linkage.csv",
        linkage="results/{study}/clustering/linkage.csv",
        distances="results/{study}/clustering/distances.csv",
        sectors="results/{study}/validation/sectors.csv",
        class_neighbours="results/{study}/circle/class_neighbours.csv",
        points="results/{study}/circle/points.csv",
        map_record="results/{study}/circle/map.json",
        older=older_order,
    output:
        order="results/{study}/circle/order.csv",
        order_data_only="results/{study}/circle/order_data_only.csv",
        record="results/{study}/circle/order.json",
        classes="results/{study}/circle/adjacency.csv",
    log:
        "results/{study}/logs/order_circle.log",
    benchmark:
        "results/{study}/benchmarks/order_circle.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("order_circle"),
        study="{study}",
        seed=config["seed"],
        older_study=lambda wildcards: older_edition(wildcards.study),
        settings=config["circle"],
    script:
        "../../scripts/order_circle.py"
