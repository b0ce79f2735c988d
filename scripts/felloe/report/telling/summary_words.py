"""What stands on the first page of the report: short enough for one page, whatever the study."""

from collections.abc import Iterable, Mapping, Sequence

from felloe.ground.files.tables import Row
from felloe.sensitivity.questions import CLASS, LONE_TERM, NAME, SENSITIVE, TERM, VOID

MOST = 8  # names told in one line of the summary
MOST_CLASSES = 12  # names of classes told
SHORT = 60  # characters of a name
REASON = 200  # characters of the reason for an override; the section on pooling has it whole


def listed(names: Sequence[str], most: int = MOST) -> str:
    """Return the first few names, and how many more there are."""
    more = len(names) - len(names[:most])
    return ", ".join(names[:most]) + (f" and {more} more" if more else "")


def cut(text: str, most: int = SHORT) -> str:
    """Return a name or another text, cut short where it is too long."""
    return text if len(text) <= most else f"{text[: most - 1]}\u2026"


def reason(given: str | None) -> str:
    """Return the reason for an override, as much as the page has room for."""
    return cut(given or "", REASON)


def classes(names: Iterable[str]) -> str:
    """Return the names of the classes, as many as the page has room for."""
    return listed([cut(name) for name in names], MOST_CLASSES)


def asked(
    questions: Sequence[Row],
    published: Sequence[Row],
    labels: Mapping[str, str],
    names: Mapping[str, str],
    enough: float,
) -> list[str]:
    """
    Return what the committee is asked, a line for each kind of question.

    Parameters
    ----------
    questions, published : sequence of dict
        Rows of `questions.csv` and `published.csv`.
    labels, names : mapping of str to str
        Of terms and of classes.
    enough : float
        Share of the analyses below which a firm term is asked about.
    """
    places = {row["term"]: row for row in published}

    def subjects(kind: str) -> list[str]:
        return [row["subject"] for row in questions if row["kind"] == kind]

    def called(subjects: Iterable[str], by: Mapping[str, str] = labels) -> list[str]:
        return [cut(by.get(subject, subject)) for subject in subjects]

    terms = subjects(TERM)
    open_ones = [term for term in terms if places[term]["status"] == "undecided"]
    undecided = [
        leaning(label, places[term], names)
        for term, label in zip(open_ones, called(open_ones), strict=True)
    ]
    doubtful = called(term for term in terms if term not in open_ones)
    unnamed = sum(row["kind"] == NAME for row in questions)
    lines = [
        ("Undecided", listed(undecided, 4)),
        ("Doubtful", listed(doubtful)),
        (
            f"Firm, yet fewer than {100 * enough:.0f} % of the analyses with other reasonable "
            "choices agree",
            listed(called(subjects(SENSITIVE))),
        ),
        ("Too small or weak for a class", listed(called(subjects(CLASS), names))),
        ("Decisions that came to nothing", listed(called(subjects(VOID)))),
        ("Groups without a name", nameless(unnamed, lone_names(questions)) if unnamed else ""),
    ]
    return [f"{head}: {told}." for head, told in lines if told]


def lone_names(questions: Iterable[Row]) -> int:
    """Return how many groups without a name are a single term, which needs no other."""
    return sum(LONE_TERM in row["reason"] for row in questions if row["kind"] == NAME)


def nameless(groups: int, lone: int) -> str:
    """Return how many groups have no name, and how many of these are a single term."""
    if not lone:
        return str(groups)
    return f"{groups}, {groups - lone} of several terms and {lone} of one term, which need none"


def leaning(label: str, place: Row, names: Mapping[str, str]) -> str:
    """Return an undecided term with the two classes that the redraws give it."""
    home = (
        f"{label} ({cut(place['class_name'])} in {100 * place['home_probability']:.0f} % of redraws"
    )
    if not place["rival_class"]:
        return f"{home})"
    rival = cut(names.get(place["rival_class"], place["rival_class"]))
    return f"{home}, {rival} in {100 * place['rival_probability']:.0f} %)"


def closing(questions: Sequence[Row]) -> str:
    """Say what is to be done."""
    if not questions:
        return "Nothing is open: no term is in doubt, no class weak, no name missing."
    lone = lone_names(questions)
    n = len(questions) - lone
    asked = f"The ballot has {n} question{'' if n == 1 else 's'}"
    if lone:
        asked += f", and at its end {lone} name{'' if lone == 1 else 's'} that need no answer"
    marked = "Undecided and doubtful terms and weak classes stay marked; firm terms stand unmarked."
    return (
        f"{asked}. What you leave open stays where it is. {marked} "
        "The next run puts your answers on the chart."
    )
