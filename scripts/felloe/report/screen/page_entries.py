"""What the page says of every class, subclass and term, ready to be shown."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from felloe.report.chart import Record, chart_terms, on_ring, together_with_next
from felloe.report.filling import tagged
from felloe.report.languages.language_words import Words
from felloe.report.languages.own_texts import OwnTexts, own_texts
from felloe.report.languages.translation import WORDING
from felloe.report.sheet.beside import hundred
from felloe.report.sheet.lists import listed, told_of
from felloe.report.sheet.name_fitting import has_name, proposal


class Link(NamedTuple):
    """Where something leads: key and name of an entry, what is beside it, the name's language."""

    key: str
    name: str
    beside: str = ""
    language: str = ""


@dataclass(frozen=True)
class Told:
    """
    What all entries are told with.

    Attributes
    ----------
    words : mapping of str to str
    labels : mapping of str to str
        Of terms, by their ids.
    limits : mapping of str to float
        `limits` of the chart.
    own : OwnTexts
        What is in the study's own language.
    """

    words: Words
    labels: Mapping[str, str]
    limits: Mapping[str, float]
    own: OwnTexts

    def __getitem__(self, key: str) -> str:
        return self.words[f"page.{key}"]


@dataclass(frozen=True)
class Fact:
    """
    Something that is known of an entry.

    Attributes
    ----------
    heading : str
    texts : tuple of str
    links : tuple of Link
    kind : str
        Name of what it is, for the search and for its looks.
    language : str
        Of the texts, where it is not that of the page.
    """

    heading: str
    texts: tuple[str, ...] = ()
    links: tuple[Link, ...] = ()
    kind: str = ""
    language: str = ""


@dataclass(frozen=True)
class Entry:
    """
    A class, subclass or term.

    Attributes
    ----------
    key : str
        Tier and id, as in the page's address.
    tier, tier_word, name : str
        A name that is a proposal ends in a question mark.
    language : str
        Of the name, where it is not that of the page.
    status : str
        Code; of groups `proposal` or nothing.
    named : bool
        Whether it is set on the wheel: a lone term is not named three times.
    colour, outline : str
    dot : str
        The colour that people picked; empty for none.
    share : str
        Of 100 redraws; empty where it is not known.
    above : tuple of Link
        The groups it lies in, the largest first.
    facts : tuple of Fact
    inside : tuple of Entry
    """

    key: str
    tier: str
    tier_word: str
    name: str
    status: str
    colour: str
    outline: str
    dot: str = ""
    share: str = ""
    above: tuple[Link, ...] = ()
    facts: tuple[Fact, ...] = ()
    inside: tuple["Entry", ...] = field(default=())
    named: bool = True
    language: str = ""

    @property
    def link(self) -> Link:
        """Where the entry is found, with the share of a term."""
        return Link(self.key, self.name, self.share, self.language)


def page_entries(chart: Record, words: Words) -> list[Entry]:
    """
    Return the classes with what lies in them, in order around the circle.

    Parameters
    ----------
    chart : dict
        `chart.json`.
    words : mapping of str to str
    """
    labels = {term["id"]: term["label"] for _, _, term in chart_terms(chart, True)}
    told = Told(words, labels, chart["limits"], own_texts(chart))
    ring = on_ring(chart["classes"])
    sides = {
        here["id"]: (before, after)
        for before, here, after in zip(
            ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True
        )
        if len(ring) > 1
    }
    return [class_entry(class_, sides.get(class_["id"]), told) for class_ in chart["classes"]]


def class_entry(class_: Record, sides: tuple[Record, Record] | None, told: Told) -> Entry:
    """Return a class."""
    path = (group_link("class", class_, told),)
    inside = tuple(
        subclass_entry(subclass, class_, path, told) for subclass in class_["subclasses"]
    )
    kinds = tuple(one.link for one in inside if one.named)
    lone = tuple(term.link for one in inside if not one.named for term in one.inside)
    facts = [Fact(told["subclasses"], links=kinds, kind="members")] if kinds else []
    facts += [Fact(told["members_alone"], links=lone, kind="members")] if lone else []
    facts += group_facts(class_, told)
    if sides is not None:
        before, after = sides
        facts.append(next_fact(told["next"], after, class_, told))
        facts.append(next_fact(told["before"], before, before, told))
    return group_entry("class", class_, class_["colour"], (), facts, inside, told)


def subclass_entry(
    subclass: Record, class_: Record, path: tuple[Link, ...], told: Told,
) -> Entry:  # fmt: skip
    """Return a subclass."""
    named = has_name(subclass, class_)
    here = (*path, group_link("subclass", subclass, told)) if named else path
    inside = tuple(
        term_entry(term, class_, here, told) for term in subclass["terms"] + subclass["absorbed"]
    )
    members = tuple(one.link for one in inside)
    facts = [Fact(told["members"], links=members, kind="members")]
    facts += group_facts(subclass, told)
    entry = group_entry("subclass", subclass, class_["colour"], path, facts, inside, told)
    return replace(entry, named=named)


def group_link(tier: str, group: Record, told: Told) -> Link:
    """Return where a class or a subclass is found."""
    language = told.own.of(tier, group["id"])
    return Link(f"{tier}-{group['id']}", proposal(group), language=language)


def group_entry(
    tier: str, group: Record, colour: Record, above: tuple[Link, ...], facts: list[Fact],
    inside: tuple[Entry, ...], told: Told,
) -> Entry:  # fmt: skip
    """Return a class or a subclass."""
    link = group_link(tier, group, told)
    return Entry(
        link.key, tier, told[f"tier_{tier}"], link.name,
        "proposal" if group["name_is_proposal"] else "", colour["used"], colour["outline"],
        above=above, facts=tuple(facts), inside=inside, language=link.language,
    )  # fmt: skip


def group_facts(group: Record, told: Told) -> list[Fact]:
    """Say what the redraws and the people make of a group."""
    support, texts = group["support"], []
    if support["bootstrap_proportion"] is not None:
        number = hundred(support["bootstrap_proportion"])
        texts.append(told["exactly"].format(number=number))
    if support["jaccard"] is not None:
        texts.append(told["likeness"].format(number=hundred(support["jaccard"])))
    if support["height"] is not None:
        number = hundred(max(0.0, 1.0 - support["height"]))
        texts.append(told["halves"].format(number=number))
    facts = [Fact(told["evidence"], tuple(texts), kind="support")] if texts else []
    if group["name_is_proposal"]:
        facts.append(Fact(told["name"], (told["name_proposal"],)))
    return facts


def next_fact(heading: str, other: Record, first: Record, told: Told) -> Fact:
    """Say which class is next to one, and how surely; `first` lies before the gap, clockwise."""
    share, name = first["next_support"], proposal(other)
    texts = [told["next_name"].format(name=name)]
    if share is not None:
        texts = [told["next_redraws"].format(name=name, number=hundred(share))]
    people = together_with_next(first)
    if people is not None:
        texts.append(told["next_people"].format(number=hundred(people)))
    return Fact(heading, tuple(texts), kind="next")


def term_entry(term: Record, class_: Record, above: tuple[Link, ...], told: Told) -> Entry:
    """Return a term."""
    colour, home = term["colour"], term["home_probability"]
    picked = colour["picked"] if colour["reason"] != "tint_two_groups" else None
    facts = [
        *lexicon_facts(term, told),
        Fact(told["evidence"], (evidence(term, class_, told),)),
        *status_facts(term, told),
        *nearest_facts(term, told),
        *colour_facts(colour, told),
    ]
    return Entry(
        f"term-{term['id']}", "term", told["tier_term"], term["label"], term["status"],
        class_["colour"]["used"], class_["colour"]["outline"], picked or "",
        "" if home is None else hundred(home), above, tuple(facts),
        language=told.own.of("term", term["id"]),
    )  # fmt: skip


def lexicon_facts(term: Record, told: Told) -> list[Fact]:
    """Return definition, reference and caution; a caution that nobody gave is said to be none."""
    given = {part: term[part] for part in ("definition", "reference") if term[part]}
    given["caution"] = term["caution"] or told["not_assessed"]
    return [
        Fact(told[part], (text,), kind=part, language=told.own.of("term", term["id"], part))
        for part, text in given.items()
    ]


def evidence(term: Record, class_: Record, told: Told) -> str:
    """Return how many redraws put a term where."""
    known = {
        "term": term["label"], "own": class_["name"], "home": hundred(term["home_probability"]),
    }  # fmt: skip
    if term["home_probability"] is None:
        return told["evidence_none"].format(**known)
    if term["rival_class"] and term["rival_probability"] is not None:
        rival = hundred(term["rival_probability"])
        other = term["rival_class_name"]
        return told["evidence_rival"].format(rival=rival, other=other, **known)
    return told["evidence_home"].format(**known)


def status_facts(term: Record, told: Told) -> list[Fact]:
    """Return the status in words, and the committee's decision with its reason."""
    limits = {name: hundred(told.limits[f"{name}_probability"]) for name in ("firm", "undecided")}
    texts = [told[f"status_{term['status']}"].format(**limits)]
    if term["start_deg"] is None:
        texts.append(told["absorbed"])
    facts = [Fact(told["status"], tuple(texts))]
    if decision := term["decision"]:
        beside = told.labels.get(decision["beside"], decision["beside"])
        text = told["decision_text"].format(beside=beside, reason=decision["reason"])
        told_reason = tagged(text, decision["reason"], told.own.language)
        facts.append(Fact(told["decision"], (told_reason,)))
    return facts


def nearest_facts(term: Record, told: Told) -> list[Fact]:
    """Return the words that were most often put into one pile with a term."""
    links = tuple(
        Link(
            f"term-{one['term']}",
            told.labels.get(one["term"], one["term"]),
            hundred(one["share_together"]),
            told.own.of("term", one["term"]),
        )
        for one in together(term)
    )
    return [Fact(told["nearest"], links=links, kind="nearest")] if links else []


def together(term: Record) -> list[Record]:
    """Return the nearest terms that anybody put with a term at all."""
    return [one for one in term["nearest"] if one["share_together"] > 0]


def colour_facts(colour: Record, told: Told) -> list[Fact]:
    """Say what the dot of a term is, or why there is a dash."""
    if colour["n_picks"] == 0:
        text = told["colour_none"]
    elif colour["n_picks"] is None or colour["reason"] == "tint_few":
        text = told["colour_few"]
    elif colour["reason"] == "tint_two_groups":
        text = told["colour_groups"]
    else:
        text = told.words.counted("page.colour_picked", colour["n_picks"])
    return [Fact(told["colour"], (text,), kind="colour")]


def open_questions(chart: Record, words: Words) -> list[Link]:
    """Return the terms whose place is not settled, the least settled first, and those moved."""
    own = own_texts(chart)
    return [
        Link(
            f"term-{term['id']}",
            term["label"],
            told_of(words, class_, term),
            own.of("term", term["id"]),
        )
        for class_, term in listed(chart)
    ]


def untranslated(chart: Record, words: Words) -> str:
    """Say how many texts are in the study's language for want of another, or nothing."""
    lacking = Counter(part for entry in chart["untranslated"] for part in entry["parts"])
    counts = [
        words.counted(f"page.count.{part}", lacking[part]) for part in WORDING if lacking[part]
    ]
    return f"{words['language.untranslated']} {', '.join(counts)}." if counts else ""


def script_data(chart: Record, leaf: float) -> dict[str, Any]:
    """
    Return what the page's script needs beside the list.

    Returns
    -------
    dict
        `above`: what everything lies in; `also`: what stands for a subclass that has no name of
        its own; `angles`, `nearest` and `leaf`: what chords are drawn from.
    """
    found: dict[str, Any] = {"above": {}, "also": {}, "angles": {}, "nearest": {}, "leaf": leaf}
    for class_ in chart["classes"]:
        top = f"class-{class_['id']}"
        for subclass in class_["subclasses"]:
            middle, terms = f"subclass-{subclass['id']}", subclass["terms"] + subclass["absorbed"]
            if has_name(subclass, class_):
                found["above"][middle] = top
            else:
                found["also"][middle] = f"term-{terms[0]['id']}" if len(terms) == 1 else top
                middle = top
            for term in terms:
                found["above"][f"term-{term['id']}"] = middle
                add_chords(term, found)
    return found


def add_chords(term: Record, found: dict[str, Any]) -> None:
    """Add where a term stands and what was put with it."""
    key = f"term-{term['id']}"
    if term["start_deg"] is not None:
        found["angles"][key] = round((term["start_deg"] + term["end_deg"]) / 2 % 360.0, 3)
    found["nearest"][key] = [
        [f"term-{one['term']}", round(one["share_together"], 4)] for one in together(term)
    ]
