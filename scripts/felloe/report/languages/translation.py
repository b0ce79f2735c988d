"""The chart in another language: the same record, its wording replaced as far as it is given."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from felloe.errors import Fault, StudyError

Record = dict[str, Any]
Row = Mapping[str, Any]
WORDING = ("label", "definition", "reference", "caution")  # what a term has in each language


@dataclass
class Translator:
    """
    The wording of one language, and what was found on the way through a chart.

    Attributes
    ----------
    language : str
    words : mapping of (tier, id) to row
        Of this language.
    unfit : {"refuse", "propose"}
        What becomes of labels that meet in one group.
    untranslated : list of dict
        `tier`, `id` and `parts` of what stays in the study's own language.
    faults : list of Fault
    """

    language: str
    words: Mapping[tuple[str, str], Row]
    unfit: str
    untranslated: list[Record] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def term(self, term: Record) -> Record:
        """Return a term with its wording in this language."""
        row = self.words.get(("term", term["id"]), {})
        given = {part: row[part] for part in WORDING if row.get(part)}
        self.note(
            "term", term["id"], [part for part in WORDING if term[part] and part not in given]
        )
        return {**term, **given}

    def group(self, tier: str, group: Record, members: Iterable[str]) -> Record:
        """Return a class or subclass with its name in this language; its parts are left alone."""
        label = self.label(tier, group, sorted(members))
        self.note(tier, group["id"], [] if label else ["label"])
        return {**group, "name": label or group["name"]}

    def label(self, tier: str, group: Record, members: Sequence[str]) -> str:
        """Return the label that an anchor within a group gives, that of its proposal, or ""."""
        anchors: dict[str, str] = {}  # by label, the first term that gives it
        for term in members:
            if (tier, term) in self.words:
                anchors.setdefault(self.words[tier, term]["label"], term)
        if len(anchors) > 1 and self.unfit == "refuse":
            self.faults.append(self.clash(tier, group, anchors))
        elif len(anchors) == 1:
            return next(iter(anchors))
        if group["name_is_proposal"]:
            return str(self.words.get(("term", group["anchor"]), {}).get("label", ""))
        return ""

    def clash(self, tier: str, group: Record, anchors: Mapping[str, str]) -> Fault:
        """Return the fault of several labels that meet in one group."""
        (label, anchor), *others = anchors.items()
        more = ", ".join(f"'{term}' ('{other}')" for other, term in others)
        problem = (
            f"labels the {tier} '{group['name']}' as '{label}' in '{self.language}', and so does "
            f"{more}, which is of the same {tier}"
        )
        remedy = (
            "Keep one of these rows. To go on without any of them, set tiers.unfit_names to "
            "'propose'."
        )
        return Fault("labels.csv", 0, "id", anchor, problem, remedy)

    def note(self, tier: str, name: str, parts: list[str]) -> None:
        """Remember what stays in the study's own language."""
        if parts:
            self.untranslated.append({"tier": tier, "id": name, "parts": parts})


def translated(
    chart: Record, labels: Iterable[Row], language: str, unfit: str = "refuse"
) -> Record:
    """
    Return a chart in another language.

    Parameters
    ----------
    chart : dict
        In the study's own language, as `felloe.report.chart.assemble_chart` returns it.
    labels : iterable of row
        `validation/labels.csv`; rows of other languages are passed over.
    language : str
        Tag of the language.
    unfit : {"refuse", "propose"}
        What becomes of several labels of one group: an error, or none of them is used.

    Returns
    -------
    dict
        The same record, with the study's language as `own_language`. What has no wording in the
        language keeps that of the study and is listed under `untranslated`, in order around the
        circle. A group is worded by the row of any term within it; one whose name is a proposal
        also by the label of the term that stands in.

    Raises
    ------
    StudyError
        If rows that hang on different terms of one group differ in their labels.
    """
    words = {(row["tier"], row["id"]): row for row in labels if row["language"] == language}
    translator = Translator(language, words, unfit)
    classes = [translated_class(class_, translator) for class_ in chart["classes"]]
    if translator.faults:
        raise StudyError(translator.faults)
    name_rivals(classes)
    changed = {
        "language": language,
        "own_language": chart["language"],
        "classes": classes,
        "untranslated": translator.untranslated,
    }
    return {**chart, **changed}


def translated_class(class_: Record, translator: Translator) -> Record:
    """Return a class with all it holds in another language."""
    found = translator.group("class", class_, members_of(class_))
    found["subclasses"] = []
    for subclass in class_["subclasses"]:
        part = translator.group("subclass", subclass, terms_of(subclass))
        for kind in ("terms", "absorbed"):
            part[kind] = [translator.term(term) for term in subclass[kind]]
        found["subclasses"].append(part)
    return found


def terms_of(subclass: Record) -> list[str]:
    """Return the ids of the terms of a subclass, those off the ring too."""
    return [term["id"] for term in subclass["terms"] + subclass["absorbed"]]


def members_of(class_: Record) -> list[str]:
    """Return the ids of the terms of a class, those off the ring too."""
    return [term for subclass in class_["subclasses"] for term in terms_of(subclass)]


def name_rivals(classes: Sequence[Record]) -> None:
    """Call the next likely class of every term as that class is called now."""
    names = {class_["id"]: class_["name"] for class_ in classes}
    for class_ in classes:
        for subclass in class_["subclasses"]:
            for term in subclass["terms"] + subclass["absorbed"]:
                name = names.get(term["rival_class"], term["rival_class_name"])
                term["rival_class_name"] = name
