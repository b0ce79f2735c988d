"""What the printed wheel and the wheel's page both say, each once."""

from felloe.ground.files.numbers import shown
from felloe.report.chart import Record, chart_terms
from felloe.report.mark_words import mark_sentences

NEIGHBOURS = "Neighbours are as alike as the tree allows; the report says which are not firm."
GAPS = "The wider a gap, the later its neighbours join in the tree."
PROPOSAL = "a proposal: the most central term stands in"
ONLY_GAPS = (
    "Only gaps between neighbours can be read: ways across the circle, and what stands at the top, "
    "mean nothing."
)


def sorted_by(chart: Record) -> str:
    """Say who sorted the terms and whose sorts are charted, and whether data are invented."""
    people = chart["populations"]
    groups = [f"{each['label']} {shown(each['participants'], 'count')}" for each in people]
    total = shown(sum(each["participants"] for each in people), "count")
    marks = "".join(f"{sentence} " for sentence in mark_sentences(chart))
    sentence = f"{marks}Terms sorted by {total} participants ({', '.join(groups)})."
    if not all(each["charted"] for each in people):
        of = [each["label"] for each in people if each["charted"]]
        sentence += f" The chart is that of {', '.join(of)} alone."
    return sentence + (" The data are invented." if "invented" in chart["title"].lower() else "")


def counted(chart: Record) -> list[str]:
    """Say how many classes, subclasses and terms are drawn, a line each."""
    on_ring = [(class_["id"], subclass["id"]) for class_, subclass, _ in chart_terms(chart)]
    return [
        things(len({class_ for class_, _ in on_ring}), "class", "classes"),
        things(len({subclass for _, subclass in on_ring}), "subclass", "subclasses"),
        things(len(on_ring), "term", "terms"),
    ]


def things(number: int, one: str, many: str) -> str:
    """Return a number with the word for what is counted."""
    return f"{shown(number, 'count')} {one if number == 1 else many}"
