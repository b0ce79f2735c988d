"""Reads published tiers, tree and distances; writes the map and the order around the circle."""


rule scale_terms:
    """Draw the terms on a map as a second opinion."""
    input:
        distances="results/{study}/clustering/distances.csv",
    output:
        points="results/{study}/circle/points.csv",
        record="results/{study}/circle/scaling.json",
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


rule redraw_maps:
    """Map redrawn participants, and the same sorts with their terms shuffled."""
    input:
        points="results/{study}/circle/points.csv",
        scaling="results/{study}/circle/scaling.json",
        sorts="results/{study}/validation/analysed.csv",
        chart="results/{study}/comparison/chart.json",
    output:
        ellipses="results/{study}/circle/ellipses.csv",
        null="results/{study}/circle/null_stress.csv",
    log:
        "results/{study}/logs/redraw_maps.log",
    benchmark:
        "results/{study}/benchmarks/redraw_maps.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("redraw_maps"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        settings=config["map"],
    script:
        "../../scripts/redraw_maps.py"


rule judge_map:
    """Lay the map beside its redraws, and say what it is worth."""
    input:
        points="results/{study}/circle/points.csv",
        scaling="results/{study}/circle/scaling.json",
        ellipses="results/{study}/circle/ellipses.csv",
        null="results/{study}/circle/null_stress.csv",
    output:
        map="results/{study}/circle/map.csv",
        record="results/{study}/circle/map.json",
    log:
        "results/{study}/logs/judge_map.log",
    benchmark:
        "results/{study}/benchmarks/judge_map.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("judge_map"),
    script:
        "../../scripts/judge_map.py"


rule redraw_rings:
    """Count how often classes are neighbours around the circles of redrawn participants."""
    input:
        places="results/{study}/tiers/places.csv",
        sorts="results/{study}/validation/analysed.csv",
        chart="results/{study}/comparison/chart.json",
    output:
        neighbours="results/{study}/circle/class_neighbours.csv",
    log:
        "results/{study}/logs/redraw_rings.log",
    benchmark:
        "results/{study}/benchmarks/redraw_rings.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("redraw_rings"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        method=own("clustering", "linkage"),
        replicates=config["circle"]["adjacency_replicates"],
    script:
        "../../scripts/redraw_rings.py"


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
