"""What is left for the committee to decide, gathered from all stages, the most pressing first."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from felloe.ground.files.tables import Row

TERM, SENSITIVE, CLASS, VOID, NAME = "term", "sensitive", "class", "void", "name"
PRESSING = ("undecided", "doubtful")
FIRM, TOGETHER = "firm", "already_together"
FEW_ANALYSES, PROPOSED, LONE_TERM = "few_analyses", "proposed", "lone_term"


def open_questions(
    published: Sequence[Row],
    evidence: Sequence[Row],
    groups: Sequence[Row],
    classes: Sequence[Row],
    decided: Iterable[Row],
    held: Mapping[str, float],
    enough: float,
) -> list[Row]:
    """
    Return what the committee is asked, numbered.

    Parameters
    ----------
    published, evidence, groups : sequence of dict
        Rows of `published.csv`, `evidence.csv` and `groups.csv` of `tiers/`.
    classes : sequence of dict
        Rows of `clustering/classes.csv`.
    decided : iterable of dict
        Rows of `tiers/decisions.csv`.
    held : mapping of str to float
        Share of the sensitivity analyses that give each term its published class.
    enough : float
        Share from which a term called firm is not asked about.

    Returns
    -------
    list of dict
        Rows of `questions.csv`: undecided and doubtful terms by home-class probability, terms
        that too few analyses hold, weak classes, void decisions, names. A void decision that puts
        an unsettled term where it stands already has settled it: neither is asked about.
    """
    reasons = {row["term"]: row["reason"] for row in evidence}
    void = [row for row in decided if row["status"] == "void"]
    # a decision that only confirms where an unsettled term stands has settled it
    confirmed = {row["term"] for row in void if row["note"] == TOGETHER}
    unsettled = [*of_terms(published, reasons), *of_sensitive(published, held, enough)]
    settled = {row["subject"] for row in unsettled} & confirmed
    asked = [
        *(row for row in unsettled if row["subject"] not in settled),
        *of_classes(published, evidence, classes),
        *(row for row in of_void(published, void) if row["subject"] not in settled),
        *of_names(groups),
    ]
    return [{"number": number, **row} for number, row in enumerate(asked, 1)]


def of_terms(published: Iterable[Row], reasons: Mapping[str, str]) -> Iterator[Row]:
    """Yield undecided and doubtful terms, the least settled first."""
    unsettled = [row for row in published if row["status"] in PRESSING]
    unsettled.sort(key=lambda row: (PRESSING.index(row["status"]), row["home_probability"]))
    for row in unsettled:
        yield question(TERM, "term", row["term"], row["class"], reasons[row["term"]])


def of_sensitive(
    published: Iterable[Row], held: Mapping[str, float], enough: float
) -> Iterator[Row]:
    """Yield terms called firm that too few analyses give their class, the fewest first."""
    found = [
        row for row in published if row["status"] == FIRM and held.get(row["term"], 1.0) < enough
    ]
    for row in sorted(found, key=lambda row: held[row["term"]]):
        yield question(SENSITIVE, "term", row["term"], row["class"], FEW_ANALYSES)


def of_classes(
    published: Iterable[Row], evidence: Iterable[Row], classes: Iterable[Row]
) -> Iterator[Row]:
    """Yield the classes of the data that are weak and still stand on the published chart."""
    of_data = {row["term"]: row["class"] for row in evidence}
    now: dict[str, str] = {}
    for row in published:
        if row["status"] != "moved":
            now.setdefault(of_data[row["term"]], row["class"])
    for row in classes:
        if not row["holds"] and row["class"] in now:
            place = now[row["class"]]
            yield question(CLASS, "class", place, place, row["reason"])


def of_void(published: Iterable[Row], void: Iterable[Row]) -> Iterator[Row]:
    """Yield the decisions that came to nothing."""
    place = {row["term"]: row["class"] for row in published}
    for row in void:
        yield question(VOID, "term", row["term"], place.get(row["term"], ""), row["note"])


def of_names(groups: Iterable[Row]) -> Iterator[Row]:
    """Yield the published groups without a name of their own; those of a single term last."""
    found = [row for row in groups if row["chart"] == "published" and row["proposed"]]
    found.sort(key=lambda row: (row["n_terms"] == 1, row["tier"], row["id"]))
    for row in found:
        above = row["parent"] or row["id"]
        reason = f"{PROPOSED};{LONE_TERM}" if row["n_terms"] == 1 else PROPOSED
        yield question(NAME, row["tier"], row["id"], above, reason)


def question(kind: str, tier: str, subject: str, of_class: str, reason: str) -> Row:
    """Return a row of `questions.csv` without its number."""
    return {"kind": kind, "tier": tier, "subject": subject, "class": of_class, "reason": reason}
