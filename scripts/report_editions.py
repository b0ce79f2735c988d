"""Step: the report of two editions compared."""

from felloe.editions.page import write_editions_report
from felloe.report.evidence import Evidence


def main(*, comparison, terms, crosswalk, figures, report, folder):
    """Tell what became of the vocabulary."""
    write_editions_report(report, Evidence(folder, [comparison, terms, crosswalk, *figures]))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
