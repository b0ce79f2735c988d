"""Reads tiers, tree and distances; writes the published tiers, the map, the order and figures."""


rule publish_tiers:
    """Name the groups, replay the committee's decisions and price them; write both charts."""
    input:
        evidence="results/{study}/tiers/evidence.csv",
        terms="results/{study}/validation/terms.csv",
        names="results/{study}/validation/names.csv",
        decisions="results/{study}/validation/decisions.csv",
        distances="results/{study}/clustering/distances.csv",
        linkage="results/{study}/clustering/linkage.csv",
        support="results/{study}/clustering/support.csv",
        sorts="results/{study}/validation/analysed.csv",
        pooling="results/{study}/comparison/populations.json",
        code=code_of("publish_tiers"),
    output:
        data_only="results/{study}/tiers/data_only.csv",
        published="results/{study}/tiers/published.csv",
        decided="results/{study}/tiers/decisions.csv",
        groups="results/{study}/tiers/groups.csv",
        tree="results/{study}/tiers/published_linkage.csv",
    log:
        "results/{study}/logs/publish_tiers.log",
    benchmark:
        "results/{study}/benchmarks/publish_tiers.tsv"
    conda:
        "../envs/study.yaml"
    params:
        study="{study}",
        seed=config["seed"],
        method=config["clustering"]["linkage"],
        order_freedom=config["circle"]["order_freedom"],
        replicates=config["circle"]["decision_replicates"],
        unfit_names=config["tiers"]["unfit_names"],
    script:
        "../../scripts/publish_tiers.py"


rule scale_terms:
    """Draw the terms on a map as a second opinion, and judge what the map is worth."""
    input:
        distances="results/{study}/clustering/distances.csv",
        sorts="results/{study}/validation/analysed.csv",
        pooling="results/{study}/comparison/populations.json",
        code=code_of("scale_terms"),
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
        study="{study}",
        seed=config["seed"],
        settings=config["map"],
    script:
        "../../scripts/scale_terms.py"


rule order_circle:
    """Find the shortest circular order that the tree allows; gaps, angles, pose, evidence."""
    input:
        published="results/{study}/tiers/published.csv",
        data_only="results/{study}/tiers/data_only.csv",
        tree="results/{study}/tiers/published_linkage.csv",
        linkage="results/{study}/clustering/linkage.csv",
        distances="results/{study}/clustering/distances.csv",
        terms="results/{study}/validation/terms.csv",
        sorts="results/{study}/validation/analysed.csv",
        pooling="results/{study}/comparison/populations.json",
        map="results/{study}/circle/map.csv",
        map_record="results/{study}/circle/map.json",
        older=older_order,
        code=code_of("order_circle"),
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
        study="{study}",
        seed=config["seed"],
        method=config["clustering"]["linkage"],
        older_study=lambda wildcards: older_edition(wildcards.study),
        settings=config["circle"],
    script:
        "../../scripts/order_circle.py"


rule draw_ring:
    """Draw the map, how well it follows the data, and the evidence of the order."""
    input:
        map="results/{study}/circle/map.csv",
        map_record="results/{study}/circle/map.json",
        shepard="results/{study}/circle/shepard.csv",
        dimensions="results/{study}/circle/dimensions.csv",
        order="results/{study}/circle/order.csv",
        record="results/{study}/circle/order.json",
        adjacency="results/{study}/circle/adjacency.csv",
        colours="results/{study}/circle/colours.csv",
        published="results/{study}/tiers/published.csv",
        terms="results/{study}/validation/terms.csv",
        code=code_of("draw_ring"),
    output:
        map_figure=multiext("results/{study}/figures/map", ".svg", ".pdf", ".png"),
        shepard_figure=multiext("results/{study}/figures/shepard", ".svg", ".pdf", ".png"),
        ring_figure=multiext("results/{study}/figures/ring", ".svg", ".pdf", ".png"),
    log:
        "results/{study}/logs/draw_ring.log",
    benchmark:
        "results/{study}/benchmarks/draw_ring.tsv"
    conda:
        "../envs/study.yaml"
    script:
        "../../scripts/draw_ring.py"
