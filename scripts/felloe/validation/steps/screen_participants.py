"""Step: describe how everybody did the task, leave out whom the rules say, account for all."""

from typing import Any

from felloe.validation.analysed import write_analysed
from felloe.validation.received import read_received
from felloe.validation.screened import screening
from felloe.validation.screened.granularity import at_equal_number, summaries
from felloe.validation.settings import Limits, ScreeningRules
from felloe.validation.tables import EXCLUSIONS, FLOW, GRANULARITY, PARTICIPANTS, TERMS


def main(
    *,
    sorts: str,
    register: str,
    terms: str,
    rules: dict[str, Any],
    limits: dict[str, Any],
    smallest_cell: int,
    participants: str,
    analysed: str,
    granularity: str,
    flow: str,
    exclusions: str,
    prior: float | None = None,
    most_unseen: float = 0.0,
    validated: tuple[str, ...] = (),
) -> None:
    """Read what was validated; write participants, flow, the analysed sorts and the granularity."""
    received = read_received(sorts, register, prior)
    labels = {row["term"]: row["label"] for row in TERMS.read(terms)}
    seen = [labels[term] for term in received.sorts.terms]
    people = screening.screened(received, seen, ScreeningRules.of(rules))
    screening.check_left(
        received.sorts, people, Limits(**limits), None if prior is None else most_unseen
    )
    kept = screening.kept_people(people)
    PARTICIPANTS.write(participants, screening.by_participant(people))
    FLOW.write(flow, screening.flow(people))
    EXCLUSIONS.write(exclusions, screening.exclusions(people))
    comparable = kept if prior is None else at_equal_number(kept)
    GRANULARITY.write(granularity, summaries(comparable, smallest_cell))
    write_analysed(analysed, screening.kept_sorts(received.sorts, people))
    print(f"{len(kept)} of {len(people)} participants are analysed")
