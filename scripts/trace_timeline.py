"""Step: every term followed through three editions or more."""

from collections.abc import Sequence

from felloe.ground.files.records import read_json, write_json
from felloe.timeline.follow import follow
from felloe.timeline.reading import read_between, read_stop
from felloe.timeline.record import timeline_record
from felloe.timeline.rows import row_of
from felloe.timeline.tables import TIMELINE, further_columns


def main(
    *,
    studies: list[str],
    about: Sequence[str],
    terms: Sequence[str],
    published: Sequence[str],
    data_only: Sequence[str],
    shares: Sequence[str],
    compared: Sequence[str],
    became: Sequence[str],
    table: str,
    record: str,
) -> None:
    """Read the editions and the comparison of each with the next; say what became of every term."""
    tiers = zip(published, data_only, strict=True)
    files = zip(studies, about, terms, tiers, shares, strict=True)
    read = [read_stop(*each) for each in files]
    records = [read_json(path) for path in compared]
    between = [read_between(*each) for each in zip(became, records, strict=True)]
    stops = [each.stop for each in read]
    found = follow(stops, between)
    lines = [{one.id: one.line for one in here} for here in found.held]
    wordings = [each.wording(of_classes) for each, of_classes in zip(read, lines, strict=True)]
    rows = [row_of(one, stops, wordings) for one in found.followed]
    TIMELINE.write(table, rows, further_columns(studies))
    write_json(record, timeline_record(read, records, between, found))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
