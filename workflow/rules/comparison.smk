"""Reads the analysed sorts and their counts; writes how stable they are, the pooling dossier, figures."""


def counted(wildcards):
    """Return whose sorts are counted apart, in the order of the matrices that rules ask for."""
    return [*populations_of(wildcards.study), "pooled"]


def matrices(kind):
    """Return the input function of every matrix of a kind of a study."""
    path = "results/{study}/matrices/{population}." + kind + ".csv"
    return lambda wildcards: expand(path, study=wildcards.study, population=counted(wildcards))


def chosen(block, *names):
    """Return some settings of a block."""
    return {name: config[block][name] for name in names}


rule compare_populations:
    """Repeat the study on parts of its people; answer whether the populations may be pooled."""
    input:
        sorts="results/{study}/validation/analysed.csv",
        design=designs,
        together=matrices("together"),
        both=matrices("both"),
    output:
        stability="results/{study}/validation/stability.csv",
        stability_record="results/{study}/validation/stability.json",
        populations="results/{study}/comparison/populations.json",
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
        prior=prior_of,
        study="{study}",
        seed=config["seed"],
        counted=counted,
        tiers=own_block("tiers", "classes", "classes_range", "subclasses", "subclasses_range"),
        compared=chosen(
            "comparison",
            "permutations",
            "shape_permutations",
            "splits",
            "halves",
            "people_at_most",
            "granularity_bins",
            "linkage",
        ),
        repeated=config["stability"],
        margins=config["comparison"]["margins"],
        smallest_cell=config["privacy"]["smallest_cell"],
    script:
        "../../scripts/compare_populations.py"


rule draw_populations:
    """Draw how stable and how coarse the sorts are, and how the populations differ."""
    input:
        populations="results/{study}/comparison/populations.json",
        terms="results/{study}/comparison/terms.csv",
        splits="results/{study}/comparison/splits.csv",
        consequence="results/{study}/comparison/consequence.csv",
        together=matrices("together"),
        both=matrices("both"),
        participants="results/{study}/validation/participants.csv",
        stability="results/{study}/validation/stability.csv",
        stability_record="results/{study}/validation/stability.json",
        about="results/{study}/validation/study.json",
        lexicon="results/{study}/validation/terms.csv",
        fonts=font_files,
    output:
        stability_figure=drawn("results/{study}/figures/stability"),
        granularity_figure=drawn("results/{study}/figures/granularity"),
        populations_figure=drawn("results/{study}/figures/populations"),
    log:
        "results/{study}/logs/draw_populations.log",
    benchmark:
        "results/{study}/benchmarks/draw_populations.tsv"
    priority: 1  # a study that stops at the choice of the chart leaves its dossier drawn
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("draw_populations"),
        pdf=config["figures"]["pdf"],
        smallest_cell=config["privacy"]["smallest_cell"],
        preview=config["preview"],
        counted=counted,
        pooling=config["comparison"]["pooling"],
    script:
        "../../scripts/draw_populations.py"
