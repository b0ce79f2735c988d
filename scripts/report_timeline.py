"""Step: the page of a timeline."""

from felloe.report.telling.evidence import Evidence
from felloe.timeline.page import write_timeline_page
from felloe.timeline.tables import TABLES


def main(*, table: str, record: str, figures: list[str], report: str, folder: str) -> None:
    """Tell the timeline from its result files."""
    tables = {each.path: each for each in TABLES}
    write_timeline_page(report, Evidence(folder, [table, record, *figures], tables.__getitem__))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
