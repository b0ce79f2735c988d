"""Reads published tiers, tree and distances; writes the map and the order around the circle."""


rule scale_terms:
    """Draw the terms on a map as a second opinion, and judge what the map is worth."""
    input:
        distances="results/{study}/clustering/distances.csv",
        sorts="results/{study}/validation/analysed.csv",
        chart="results/{study}/comparison/chart.json",
    output:
        map="results/{study}/circle/map.csv",
        record="results/{study}/circle/map.json",
        shepard="results/{study}/circle/shepard.csv",
        dimensions="results/{study}/circle/dimensions.csv",
    log:
        "results/{study}/logs/scale_terms.log",
    benchmark:
        "results/{study}/benchmarks/scale_terms.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("scale_terms"),
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
        sorts="results/{study}/validation/analysed.csv",
        chart="results/{study}/comparison/chart.json",
        map="results/{study}/circle/map.csv",
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
        method=config["clustering"]["linkage"],
        older_study=lambda wildcards: older_edition(wildcards.study),
        settings={
            name: value
            for name, value in config["circle"].items()
            if name != "decision_replicates"
        },
    script:
        "../../scripts/order_circle.py"
