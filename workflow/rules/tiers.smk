"""Reads the tree and its supports; writes where each term sits and how firmly."""


rule extract_tiers:
    """Place every term in its class and subclass, and list what the committee has to settle."""
    input:
        sorts="results/{study}/validation/analysed.csv",
        distances="results/{study}/clustering/distances.csv",
        delta="results/{study}/clustering/delta.csv",
        linkage="results/{study}/clustering/linkage.csv",
        support="results/{study}/clustering/support.csv",
        class_support="results/{study}/clustering/classes.csv",
        homes="results/{study}/clustering/homes.csv",
        summary="results/{study}/clustering/bootstrap.json",
        ties="results/{study}/clustering/ties.csv",
        code=code_of("extract_tiers"),
    output:
        evidence="results/{study}/tiers/evidence.csv",
        choice="results/{study}/tiers/choice.json",
        undecided="results/{study}/tiers/undecided.csv",
    log:
        "results/{study}/logs/extract_tiers.log",
    benchmark:
        "results/{study}/benchmarks/extract_tiers.tsv"
    conda:
        "../envs/study.yaml"
    params:
        study="{study}",
        settings={
            name: value
            for name, value in config["tiers"].items()
            if not name.startswith(("classes", "subclasses"))
        },
    script:
        "../../scripts/extract_tiers.py"


rule draw_tree:
    """Draw the tree, the ordered matrix, the numbers of classes and the sensitivity."""
    input:
        linkage="results/{study}/clustering/linkage.csv",
        distances="results/{study}/clustering/distances.csv",
        support="results/{study}/clustering/support.csv",
        class_support="results/{study}/clustering/classes.csv",
        chart="results/{study}/tiers/data_only.csv",
        published="results/{study}/tiers/published.csv",
        choice="results/{study}/tiers/choice.json",
        audit="results/{study}/clustering/ties.json",
        class_counts="results/{study}/clustering/class_counts.csv",
        universes="results/{study}/sensitivity/universes.csv",
        terms="results/{study}/validation/terms.csv",
        colours="results/{study}/circle/colours.csv",
        study="results/{study}/validation/study.json",
        code=code_of("draw_tree"),
    output:
        **{
            f"{name}_{kind}": f"results/{{study}}/figures/{name}.{kind}"
            for name in ("dendrogram", "matrix", "class_counts", "sensitivity")
            for kind in ("svg", "pdf", "png")
        },
    log:
        "results/{study}/logs/draw_tree.log",
    benchmark:
        "results/{study}/benchmarks/draw_tree.tsv"
    conda:
        "../envs/study.yaml"
    params:
        method=config["clustering"]["linkage"],
    script:
        "../../scripts/draw_tree.py"
