"""Reads the analysed sorts; writes the counts per population and pooled."""

# Outputs are no functions of wildcards, and each study has populations of its own: a rule per study
# counts all of them in one job, and every file is still declared.
for study in STUDIES:
    populations = [*populations_of(study), "pooled"]

    rule:
        """Count who put two terms together, and who placed both, in every population and in all."""
        name:
            f"count_cooccurrence_{study}"
        input:
            sorts=f"results/{study}/validation/analysed.csv",
        output:
            **(
                {
                    "unseen": f"results/{study}/matrices/unseen.csv",
                    "observers": f"results/{study}/matrices/observers.json",
                }
                if IN_PARTS[study]
                else {}
            ),
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
        script:
            "../../scripts/count_cooccurrence.py"
