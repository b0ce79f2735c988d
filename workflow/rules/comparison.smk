"""Reads the analysed sorts; writes the pooling dossier and its figure."""


rule compare_populations:
    """Answer whether the populations may be pooled, and say what is charted."""
    input:
        sorts="results/{study}/validation/analysed.csv",
        about="results/{study}/validation/study.json",
    output:
        populations="results/{study}/comparison/populations.json",
        chart="results/{study}/comparison/chart.json",
        terms="results/{study}/comparison/terms.csv",
        pairs="results/{study}/comparison/pairs.csv",
        splits="results/{study}/comparison/splits.csv",
        consequence="results/{study}/comparison/consequence.csv",
        trees="results/{study}/comparison/trees.csv",
    log:
        "results/{study}/logs/compare_populations.log",
    benchmark:
        "results/{study}/benchmarks/compare_populations.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("compare_populations"),
        study="{study}",
        seed=config["seed"],
        tiers=[
            config["tiers"][name]
            for name in ("classes", "classes_range", "subclasses", "subclasses_range")
        ],
        comparison=config["comparison"],
    script:
        "../../scripts/compare_populations.py"


rule draw_populations:
    """Draw both populations' matrices, the noise ceiling and the terms that differ."""
    input:
        populations="results/{study}/comparison/populations.json",
        terms="results/{study}/comparison/terms.csv",
        splits="results/{study}/comparison/splits.csv",
        consequence="results/{study}/comparison/consequence.csv",
        sorts="results/{study}/validation/analysed.csv",
        lexicon="results/{study}/validation/terms.csv",
    output:
        svg="results/{study}/figures/populations.svg",
        pdf="results/{study}/figures/populations.pdf",
        png="results/{study}/figures/populations.png",
    log:
        "results/{study}/logs/draw_populations.log",
    benchmark:
        "results/{study}/benchmarks/draw_populations.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_populations"),
    script:
        "../../scripts/draw_populations.py"
