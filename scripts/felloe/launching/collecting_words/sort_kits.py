"""The order in which everybody sorts: as frozen in `design.csv`, or drawn and frozen now."""

from felloe.allocation.allocating import shown_order
from felloe.allocation.design_file import read_orders
from felloe.allocation.people_files import read_people
from felloe.collecting.asked import Asked
from felloe.launching.collecting_words.inviting import Inviting
from felloe.launching.plan_study.issuing import add_rows, refuse, rows_of
from felloe.launching.plan_study.planned import Planned, read_planned


def asked_to_sort(inviting: Inviting) -> tuple[dict[str, Asked], Planned]:
    """
    Return what everybody who is invited is asked to sort.

    Nothing is written yet: `freeze_orders` writes the orders that were drawn.

    Returns
    -------
    asked : dict of str to Asked
        By person.
    planned : Planned
        Who stands in the design, and who comes anew.

    Raises
    ------
    StudyError
        With the faults of the design, or if there are sorts of who stands in none.
    """
    planned = read_planned(inviting.study, inviting.folder, inviting.settings)
    refuse(planned)
    orders = issued_orders(planned)
    for person, term, _ in rows_of(planned):  # in the order of positions
        orders.setdefault(person, []).append(term)
    asked = {person: inviting.asked("sort", person, orders[person]) for person in inviting.people}
    return asked, planned


def issued_orders(planned: Planned) -> dict[str, list[str]]:
    """Return in which order those sort who stand in the design; drawn where it says none."""
    if not planned.issued:
        return {}
    people, _ = read_people(planned.folder, planned.populations)
    orders = read_orders(planned.design, people, planned.terms)
    found = {}
    for person, own in planned.issued.items():
        order = orders.get(person)
        places = shown_order(planned.streams, person, own) if order is None else order
        found[person] = [planned.terms[place] for place in places.tolist()]
    return found


def freeze_orders(planned: Planned) -> None:
    """Write the orders of who has none yet below those that stand in the design."""
    if planned.given:
        add_rows(planned, rows_of(planned))
