"""Step: the report that a committee, a reviewer and an auditor read."""

from felloe.report.evidence import Evidence
from felloe.report.study_report import write_report


def main(*, results, report, study, folder, settings):
    """Tell the study from its result files."""
    write_report(report, Evidence(folder, results), study, settings)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
