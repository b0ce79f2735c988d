"""Reads the checked sorts; writes who is analysed and why, and the counts per population and pooled."""

# Outputs are no functions of wildcards, and each study has populations of its own: a rule per study
# counts all of them in one job, and every file is still declared.
for study in STUDIES:
    populations = [*populations_of(study), "pooled"]

    rule:
        """Describe how each participant did the task; leave out whom the rules name; count everybody."""
        name:
            f"count_cooccurrence_{study}"
        input:
            validated=ancient(all_validated()),
            sorts=f"results/{study}/validation/sorts.csv",
            register=f"results/{study}/validation/register.csv",
            terms=f"results/{study}/validation/terms.csv",
        output:
            **(
                {
                    "unseen": f"results/{study}/matrices/unseen.csv",
                    "observers": f"results/{study}/matrices/observers.json",
                }
                if IN_PARTS[study]
                else {}
            ),
            participants=f"results/{study}/validation/participants.csv",
            flow=f"results/{study}/validation/flow.csv",
            exclusions=f"results/{study}/validation/exclusions.csv",
            analysed=f"results/{study}/validation/analysed.csv",
            granularity=f"results/{study}/validation/granularity.csv",
            together=[f"results/{study}/matrices/{name}.together.csv" for name in populations],
            both=[f"results/{study}/matrices/{name}.both.csv" for name in populations],
        log:
            f"results/{study}/logs/count_cooccurrence.log",
        benchmark:
            f"results/{study}/benchmarks/count_cooccurrence.tsv"
        conda:
            "../envs/study.yaml"
        params:
            code=code_of("count_cooccurrence"),
            prior=prior_of_study(study),
            populations=populations,
            most_unseen=config["matrices"]["most_unseen_pairs"],
            rules=OWN[study]["screening"],
            limits=config["intake"],
            smallest_cell=config["privacy"]["smallest_cell"],
        script:
            "../../scripts/count_cooccurrence.py"
