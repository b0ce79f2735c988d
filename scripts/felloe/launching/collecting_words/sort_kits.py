"""The order in which everybody sorts: as frozen in `design.csv`, or drawn and frozen now."""

from felloe.allocation.design_file import read_orders
from felloe.allocation.words import named
from felloe.collecting.asked import Asked
from felloe.collecting.kit.kit_words import NO_ORDER, NO_ORDER_CURE
from felloe.errors import Fault, StudyError
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
    without = [person for person in inviting.people if orders.get(person) == []]
    if without:
        problem = NO_ORDER.format(people=named(without))
        raise StudyError([Fault(str(planned.design), 0, "position", "", problem, NO_ORDER_CURE)])
    for person, term, _ in rows_of(planned):  # in the order of positions
        orders.setdefault(person, []).append(term)
    asked = {person: inviting.asked("sort", person, orders[person]) for person in inviting.people}
    return asked, planned


def issued_orders(planned: Planned) -> dict[str, list[str]]:
    """Return in which order those sort who stand in the design; nothing where it says none."""
    if not planned.issued:
        return {}
    orders = read_orders(planned.design, planned.people, planned.terms)
    return {
        person: [] if order is None else [planned.terms[place] for place in order.tolist()]
        for person, order in orders.items()
    }


def freeze_orders(planned: Planned) -> None:
    """Write the orders of who has none yet below those that stand in the design."""
    if planned.given:
        add_rows(planned, rows_of(planned))
