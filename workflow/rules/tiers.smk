"""Reads the tree and its supports; writes where each term sits, how firmly, and what is published."""


def placing(wildcards):
    """Return the settings of a study that place terms, of the block `tiers`."""
    others = ("classes", "subclasses", "unfit_names", "priced_", "firm_in_")
    return {k: v for k, v in OWN[wildcards.study]["tiers"].items() if not k.startswith(others)}


rule publish_tiers:
    """Place every term, replay the committee's decisions; write both charts."""
    input:
        together=lambda wildcards: counts_of(wildcards.study, "together"),
        both=lambda wildcards: counts_of(wildcards.study, "both"),
        delta="results/{study}/clustering/delta.csv",
        class_support="results/{study}/clustering/classes.csv",
        homes="results/{study}/clustering/homes.csv",
        summary="results/{study}/clustering/bootstrap.json",
        ties="results/{study}/clustering/ties.csv",
        terms="results/{study}/validation/terms.csv",
        names="results/{study}/validation/names.csv",
        decisions="results/{study}/validation/decisions.csv",
        distances="results/{study}/clustering/distances.csv",
        linkage="results/{study}/clustering/linkage.csv",
        support="results/{study}/clustering/support.csv",
        class_shares="results/{study}/clustering/class_shares.csv",
    output:
        evidence="results/{study}/tiers/evidence.csv",
        choice="results/{study}/tiers/choice.json",
        undecided="results/{study}/tiers/undecided.csv",
        data_only="results/{study}/tiers/data_only.csv",
        published="results/{study}/tiers/published.csv",
        places="results/{study}/tiers/places.csv",
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
        code=code_of("publish_tiers"),
        prior=prior_of,
        study="{study}",
        populations=lambda wildcards: counted_populations(wildcards.study),
        settings=placing,
        method=own("clustering", "linkage"),
        order_freedom=config["circle"]["order_freedom"],
        unfit_names=own("tiers", "unfit_names"),
    script:
        "../../scripts/publish_tiers.py"


rule price_moves:
    """Price moves from the published chart, and other ways to classes."""
    input:
        evidence="results/{study}/tiers/evidence.csv",
        decisions="results/{study}/validation/decisions.csv",
        places="results/{study}/tiers/places.csv",
        distances="results/{study}/clustering/distances.csv",
        linkage="results/{study}/clustering/linkage.csv",
        support="results/{study}/clustering/support.csv",
        class_shares="results/{study}/clustering/class_shares.csv",
        summary="results/{study}/clustering/bootstrap.json",
    output:
        moves="results/{study}/tiers/prices.csv",
        other_classes="results/{study}/tiers/regroupings.csv",
    log:
        "results/{study}/logs/price_moves.log",
    benchmark:
        "results/{study}/benchmarks/price_moves.tsv"
    conda:
        "../envs/study.yaml"
    params:
        code=code_of("price_moves"),
        study="{study}",
        method=own("clustering", "linkage"),
        order_freedom=config["circle"]["order_freedom"],
        prices=lambda wildcards: {
            name: value
            for name, value in OWN[wildcards.study]["tiers"].items()
            if name.startswith("priced_")
        },
        settings=placing,
    script:
        "../../scripts/price_moves.py"
