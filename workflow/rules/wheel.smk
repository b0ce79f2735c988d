"""Reads tiers, circle and colour picks; writes colours, the wheel, its page and the vocabulary."""


rule choose_colours:
    """Choose the colour of every class, subclass and term, and check it."""
    input:
        picks="results/{study}/validation/colours.csv",
        published="results/{study}/tiers/published.csv",
        order="results/{study}/circle/order.csv",
        code=code_of("choose_colours"),
    output:
        colours="results/{study}/circle/colours.csv",
    log:
        "results/{study}/logs/choose_colours.log",
    benchmark:
        "results/{study}/benchmarks/choose_colours.tsv"
    conda:
        "../envs/study.yaml"
    params:
        settings=config["colours"],
    script:
        "../../scripts/choose_colours.py"


rule write_vocabulary:
    """Write the vocabulary as a SKOS concept scheme, and the whole chart as data."""
    input:
        about="results/{study}/validation/study.json",
        terms="results/{study}/validation/terms.csv",
        decisions="results/{study}/validation/decisions.csv",
        flow="results/{study}/validation/flow.csv",
        pooling="results/{study}/comparison/populations.json",
        published="results/{study}/tiers/published.csv",
        groups="results/{study}/tiers/groups.csv",
        support="results/{study}/clustering/support.csv",
        distances="results/{study}/clustering/distances.csv",
        order="results/{study}/circle/order.csv",
        colours="results/{study}/circle/colours.csv",
        code=code_of("write_vocabulary"),
    output:
        turtle="results/{study}/report/vocabulary.ttl",
        jsonld="results/{study}/report/vocabulary.jsonld",
        chart="results/{study}/report/chart.json",
    log:
        "results/{study}/logs/write_vocabulary.log",
    benchmark:
        "results/{study}/benchmarks/write_vocabulary.tsv"
    conda:
        "../envs/study.yaml"
    params:
        study="{study}",
        limits={
            name: config["tiers"][name] for name in ("firm_probability", "undecided_probability")
        },
    script:
        "../../scripts/write_vocabulary.py"


rule draw_wheel:
    """Draw the three rings of the chart for the wall."""
    input:
        chart="results/{study}/report/chart.json",
        code=code_of("draw_wheel"),
    output:
        svg="results/{study}/figures/wheel.svg",
        pdf="results/{study}/figures/wheel.pdf",
        png="results/{study}/figures/wheel.png",
    log:
        "results/{study}/logs/draw_wheel.log",
    benchmark:
        "results/{study}/benchmarks/draw_wheel.tsv"
    conda:
        "../envs/study.yaml"
    params:
        paper_mm=config["wheel"]["paper_mm"],
    script:
        "../../scripts/draw_wheel.py"


rule write_wheel_page:
    """Write the interactive wheel as one page that opens without a network."""
    input:
        chart="results/{study}/report/chart.json",
        code=code_of("write_wheel_page"),
    output:
        page="results/{study}/report/wheel.html",
    log:
        "results/{study}/logs/write_wheel_page.log",
    benchmark:
        "results/{study}/benchmarks/write_wheel_page.tsv"
    conda:
        "../envs/study.yaml"
    script:
        "../../scripts/write_wheel_page.py"
