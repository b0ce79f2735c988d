"""Which terms everybody picks colours for: as their kits say, or dealt now."""

from felloe.collecting.asked import Asked
from felloe.collecting.kit.dealing import dealt
from felloe.collecting.kit.issuing import KITS
from felloe.collecting.kit.kit_words import CHANGED, KEPT
from felloe.collecting.kit.record import Issued
from felloe.errors import Fault, StudyError
from felloe.launching.collecting_words.inviting import Inviting


def asked_for_colours(inviting: Inviting) -> dict[str, Asked]:
    """
    Return for which terms everybody who is invited is asked for a colour.

    Raises
    ------
    StudyError
        If somebody was asked for a term that is no longer in the lexicon.
    """
    before: dict[str, Issued] = {
        person: kits["colours"] for person, kits in inviting.given.items() if "colours" in kits
    }
    gone = [person for person, kit in before.items() if not set(kit.order) <= set(inviting.terms)]
    if gone:
        problem = CHANGED["terms"].format(people=", ".join(gone[:5]))
        place = str(inviting.folder / KITS)
        raise StudyError([Fault(place, problem=problem, remedy=KEPT["terms"])])
    people = {person: one.population for person, one in inviting.people.items()}
    issued = {person: kit.order for person, kit in before.items()}
    each = inviting.settings["kit"]["colours_per_person"]
    new = dealt(inviting.streams, people, issued, inviting.terms, each)
    orders = {**issued, **new}
    return {person: inviting.asked("colours", person, list(orders[person])) for person in people}
