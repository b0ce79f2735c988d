"""The fixed sentences of the interactive page, in English, by the keys of a language's words."""

from collections.abc import Mapping

Words = Mapping[str, str]
SCRIPTED = "page.script."  # the start of the keys that the page's script uses

PAGE_WORDS = {
    "page.skip": "To the same chart as a list",
    "page.wheel": "Wheel of {classes}, {subclasses} and {terms}",
    "page.class": "{name}, class of {terms}",
    "page.subclass": "{name}, subclass of {above}",
    "page.term": "{name}, term in {above}, {status}",
    "page.edition": "Edition {edition}.",
    "page.report": "Report: how the chart was made, and how far it can be trusted",
    "page.search": "Search words, definitions, references, cautions",
    "page.found": "What was found",
    "page.details": "Details",
    "page.close": "Close",
    "page.choose": "Choose a word",
    "page.choose_how": "Click a word, a subclass or a class, on the wheel or in the list; search; "
    "or move over the wheel with the arrow keys: left and right around the circle, up and down "
    "between terms, subclasses and classes.",
    "page.unsettled": "Not settled",
    "page.unsettled_how": "Of 100 redraws, so many put the word into the class.",
    "page.unsettled_row": "{home} {own}, {rival} {other}",
    "page.unsettled_alone": "{home} {own}",
    "page.no_script": "To choose and to search, this page needs scripts. All that it shows stands "
    "in the list.",
    "page.zoom": "Zoom",
    "page.zoom_in": "Larger",
    "page.zoom_out": "Smaller",
    "page.zoom_reset": "Whole wheel",
    "page.zoom_how": "Ctrl and the mouse wheel, or two fingers, zoom about the pointer; drag to "
    "move.",
    "page.neighbours": "Show nearest words",
    "page.scheme": "Colours of the page",
    "page.scheme_system": "as the device",
    "page.scheme_light": "light",
    "page.scheme_dark": "dark",
    "page.shortcut": "Key / goes to the search",
    "page.show_wheel": "Show the wheel",
    "page.list": "The chart as a list",
    "page.list_how": "In order around the circle. Beside a word stands in how many of 100 redraws "
    "it lies in its class.",
    "page.open_all": "Open all",
    "page.how": "How to read the wheel",
    "page.how_class": "The arcs of the rim. A class of one word has a band and no frame.",
    "page.of_hundred": "in {number} of 100 redraws in its class",
    "page.tier_class": "Class",
    "page.tier_subclass": "Subclass",
    "page.tier_term": "Word",
    "page.definition": "Definition",
    "page.reference": "Reference",
    "page.caution": "Caution",
    "page.not_assessed": "not assessed",
    "page.status": "Status",
    "page.status_firm": "Settled.",
    "page.status_doubtful": "Doubtful: fewer than {firm} of 100 redraws put it into its "
    "class, or the class does not hold, or it depends on how ties are broken.",
    "page.status_undecided": "Undecided: fewer than {undecided} of 100 redraws put it into its "
    "class, or its class is less alike than chance. The committee has to settle it.",
    "page.status_moved": "Moved by the committee.",
    "page.short_firm": "settled",
    "page.short_doubtful": "doubtful",
    "page.short_undecided": "undecided",
    "page.short_moved": "moved by the committee",
    "page.absorbed": "Gives its group the name; not on the wheel.",
    "page.evidence": "Evidence",
    "page.evidence_rival": "Of 100 redraws, {home} put {term} into {own}, {rival} into {other}.",
    "page.evidence_home": "Of 100 redraws, {home} put {term} into {own}.",
    "page.evidence_none": "How many redraws put {term} into {own} is not known.",
    "page.decision": "Decision",
    "page.decision_text": "Beside {beside}: {reason}",
    "page.nearest": "Most often in one pile with it, of 100 people",
    "page.colour": "Colour",
    "page.colour_alone": "{reason}.",
    "page.colour_text": "{reason}; {picks}.",
    "page.name": "Name",
    "page.name_proposal": "A proposal: nobody has given a name yet, the most central term stands "
    "in.",
    "page.members": "Words",
    "page.members_alone": "Words in no subclass",
    "page.subclasses": "Subclasses",
    "page.exactly": "Of 100 redraws, {number} have exactly these words together.",
    "page.likeness": "The group of a redraw that is most like it shares {number} of 100 words "
    "with it, on average (Jaccard).",
    "page.halves": "{number} of 100 people put its two sides together.",
    "page.next": "Next class",
    "page.next_redraws": "{name}: neighbours in {number} of 100 redraws.",
    "page.next_people": "{number} of 100 people put the two sides of the gap together.",
    "page.next_name": "{name}.",
    "page.asked": "Participants were asked: “{instruction}”",
    "page.notice_heading": "Before anybody smells or tastes a reference:",
    "page.notice": "read its caution. Check allergens and diets, food grade or smell only, the "
    "dose, hygiene and expiry; let people spit out and decline; dispose of samples safely. Work "
    "under trained supervision; local food law and licensed practice come first.",
    "page.count.class.one": "{number} class",
    "page.count.class.many": "{number} classes",
    "page.count.subclass.one": "{number} subclass",
    "page.count.subclass.many": "{number} subclasses",
    "page.count.term.one": "{number} word",
    "page.count.term.many": "{number} words",
    "page.count.pick.one": "{number} pick",
    "page.count.pick.many": "{number} picks",
    "page.script.found_one": "1 found",
    "page.script.found_many": "{number} found",
    "page.script.found_none": "Nothing has “{text}” in it.",
    "page.script.in_definition": "in its definition",
    "page.script.in_reference": "in its reference",
    "page.script.in_caution": "in its caution",
    "page.script.show_wheel": "Show the wheel",
    "page.script.hide_wheel": "Hide the wheel",
    "page.script.open_all": "Open all",
    "page.script.close_all": "Close all",
}


def counted(words: Words, thing: str, number: int) -> str:
    """Return a number with the word for what is counted: class, subclass, term or pick."""
    form = "one" if number == 1 else "many"
    return words[f"page.count.{thing}.{form}"].format(number=number)


def scripted(words: Words) -> dict[str, str]:
    """Return the sentences that the page's script uses, by what follows `page.script.`."""
    return {
        key.removeprefix(SCRIPTED): text for key, text in words.items() if key.startswith(SCRIPTED)
    }
