"""Reads the sorts and the pooling verdict; writes what is charted, the tree, what supports it."""


def counted_populations(study):
    """Return the populations that a study declares, and the one of them all."""
    return [*populations_of(study), "pooled"]


def counts_of(study, kind):
    """Return the counts of one kind, in the order of the populations."""
    return [f"results/{study}/matrices/{name}.{kind}.csv" for name in counted_populations(study)]


rule cluster_terms:
    """Say what is charted (the dossier stands even if nothing is); build its distances and tree."""
    input:
        together=lambda wildcards: counts_of(wildcards.study, "together"),
        both=lambda wildcards: counts_of(wildcards.study, "both"),
        populations="results/{study}/comparison/populations.json",
    output:
        chart="results/{study}/comparison/chart.json",
        distances="results/{study}/clustering/distances.csv",
        linkage="results/{study}/clustering/linkage.csv",
        delta="results/{study}/clustering/delta.csv",
    log:
        "results/{study}/logs/cluster_terms.log",
    benchmark:
        "results/{study}/benchmarks/cluster_terms.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("cluster_terms"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        pooling=chosen(
            "comparison",
            "pooling",
            "cannot_tell",
            "override_reason",
            "chart_population",
            "equal_weights_ratio",
        ),
        preview=config["preview"],
        counted=lambda wildcards: counted_populations(wildcards.study),
        method=own("clustering", "linkage"),
    script:
        "../../scripts/cluster_terms.py"


rule draw_replicates:
    """Redraw participants with replacement and build the tree of each draw."""
    input:
        sorts="results/{study}/validation/analysed.csv",
        chart="results/{study}/comparison/chart.json",
    output:
        part=temp("results/{study}/clustering/parts/{scatteritem}.npz"),
    log:
        "results/{study}/logs/draw_replicates/{scatteritem}.log",
    benchmark:
        "results/{study}/benchmarks/draw_replicates/{scatteritem}.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_replicates"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        method=own("clustering", "linkage"),
        part_name="{scatteritem}",
        plan={
            "replicates": config["bootstrap"]["replicates"],
            "null_sets": config["bootstrap"]["null_sets"],
            "null_replicates": config["bootstrap"]["null_replicates"],
            "multiscale": config["bootstrap"]["multiscale"]
            * config["bootstrap"]["multiscale_replicates"],
        },
    script:
        "../../scripts/draw_replicates.py"


rule gather_replicates:
    """Compare the tree with the replicates: supports, consensus, numbers of classes; audit its ties."""
    input:
        parts=gather.replicates("results/{{study}}/clustering/parts/{scatteritem}.npz"),
        sorts="results/{study}/validation/analysed.csv",
        chart="results/{study}/comparison/chart.json",
        distances="results/{study}/clustering/distances.csv",
        linkage="results/{study}/clustering/linkage.csv",
    output:
        support="results/{study}/clustering/support.csv",
        tree="results/{study}/clustering/tree.nwk",
        consensus="results/{study}/clustering/consensus.csv",
        consensus_tree="results/{study}/clustering/consensus.nwk",
        class_counts="results/{study}/clustering/class_counts.csv",
        homes="results/{study}/clustering/homes.csv",
        class_shares="results/{study}/clustering/class_shares.csv",
        linkages="results/{study}/clustering/linkages.csv",
        class_support="results/{study}/clustering/classes.csv",
        summary="results/{study}/clustering/bootstrap.json",
        ties="results/{study}/clustering/ties.csv",
        audit="results/{study}/clustering/ties.json",
    log:
        "results/{study}/logs/gather_replicates.log",
    benchmark:
        "results/{study}/benchmarks/gather_replicates.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("gather_replicates"),
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        method=own("clustering", "linkage"),
        orders=own("clustering", "tie_orders"),
        gap_sets=own("clustering", "null_replicates"),
        rogues={
            "below": config["bootstrap"]["rogue_below"],
            "most": config["bootstrap"]["rogue_most"],
        },
        numbers=own_block("tiers", "classes", "classes_range", "subclasses", "subclasses_range"),
        limits=lambda wildcards: {
            name: OWN[wildcards.study]["tiers"][f"minimum_{name}"]
            for name in ("class_size", "subclass_size", "support")
        },
    script:
        "../../scripts/gather_replicates.py"
