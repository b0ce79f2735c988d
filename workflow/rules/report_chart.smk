"""Reads the published chart; writes it as data in every language, its sheets and pages."""

# Outputs are no functions of wildcards, and each study has languages of its own: rules per study
# make all of them in one job, and every file is still declared.
for study in STUDIES:
    tags = tags_of(study)
    charts = [f"results/{study}/report/chart{tag}.json" for tag in tags]

    rule:
        """Put the chart together as data, in every language; chart each population; list what is open."""
        name:
            f"assemble_chart_{study}"
        input:
            about=f"results/{study}/validation/study.json",
            terms=f"results/{study}/validation/terms.csv",
            decisions=f"results/{study}/validation/decisions.csv",
            flow=f"results/{study}/validation/flow.csv",
            labels=f"results/{study}/validation/labels.csv",
            whose=f"results/{study}/comparison/chart.json",
            together=counts_of(study, "together"),
            both=counts_of(study, "both"),
            published=f"results/{study}/tiers/published.csv",
            groups=f"results/{study}/tiers/groups.csv",
            evidence=f"results/{study}/tiers/evidence.csv",
            decided=f"results/{study}/tiers/decisions.csv",
            tree=f"results/{study}/tiers/published_linkage.csv",
            support=f"results/{study}/clustering/support.csv",
            classes=f"results/{study}/clustering/classes.csv",
            distances=f"results/{study}/clustering/distances.csv",
            held=f"results/{study}/sensitivity/terms.csv",
            adjacency=f"results/{study}/circle/adjacency.csv",
            order=f"results/{study}/circle/order.csv",
            colours=f"results/{study}/circle/colours.csv",
        output:
            chart=charts[0],
            translated=charts[1:],
            own_charts=f"results/{study}/circle/own_charts.csv",
            questions=f"results/{study}/tiers/questions.csv",
        log:
            f"results/{study}/logs/assemble_chart.log",
        benchmark:
            f"results/{study}/benchmarks/assemble_chart.tsv"
        conda:
            "../envs/study.yaml"
        params:
            code=code_of("assemble_chart"),
            limits={
                name: OWN[study]["tiers"][name]
                for name in ("firm_probability", "undecided_probability")
            },
            languages=LANGUAGES[study],
            unfit=OWN[study]["tiers"]["unfit_names"],
            own={
                "prior": prior_of_study(study),
                "populations": counted_populations(study),
                "method": OWN[study]["clustering"]["linkage"],
                "gaps": {name: config["circle"][name] for name in ("gap_budget_deg", "class_gap")},
            },
            asked={"enough": OWN[study]["tiers"]["firm_in_universes"]},
        script:
            "../../scripts/assemble_chart.py"

    rule:
        """Draw the chart for the wall and for the desk, in grey and for other eyes."""
        name:
            f"draw_wheel_{study}"
        input:
            charts=charts,
            fonts=fonts_of([study]),
        output:
            svg=[f"results/{study}/figures/wheel{tag}.svg" for tag in tags],
            pdf=[f"results/{study}/figures/wheel{tag}.pdf" for tag in tags],
            png=[f"results/{study}/figures/wheel{tag}.png" for tag in tags],
            outlined=[f"results/{study}/figures/wheel_outlined{tag}.svg" for tag in tags],
            svg_a4=[f"results/{study}/figures/wheel_a4{tag}.svg" for tag in tags],
            pdf_a4=[f"results/{study}/figures/wheel_a4{tag}.pdf" for tag in tags],
            proofs=f"results/{study}/figures/wheel_proofs.png",
        log:
            f"results/{study}/logs/draw_wheel.log",
        benchmark:
            f"results/{study}/benchmarks/draw_wheel.tsv"
        priority: 2  # the longest of what the report waits for
        conda:
            "../envs/study.yaml"
        params:
            code=code_of("draw_wheel"),
            bleed_mm=config["wheel"]["bleed_mm"],
            weak=config["circle"]["weak_adjacency"],
        script:
            "../../scripts/draw_wheel.py"

    rule:
        """Write the wheel as a page, and a card for every term, to print and to look at."""
        name:
            f"write_pages_{study}"
        input:
            charts=charts,
            about=f"results/{study}/validation/study.json",
            fonts=fonts_of([study]),
        output:
            wheels=[f"results/{study}/report/wheel{tag}.html" for tag in tags],
            cards=[f"results/{study}/report/cards{tag}.html" for tag in tags],
            sheets=[f"results/{study}/report/cards{tag}.pdf" for tag in tags],
        log:
            f"results/{study}/logs/write_pages.log",
        benchmark:
            f"results/{study}/benchmarks/write_pages.tsv"
        conda:
            "../envs/study.yaml"
        params:
            code=code_of("write_pages"),
            weak=config["circle"]["weak_adjacency"],
            languages=tagged_languages(study),
        script:
            "../../scripts/write_pages.py"
