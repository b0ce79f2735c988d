"""What several products say of a chart, each once."""

from felloe.ground.files.numbers import shown
from felloe.report.chart import Record
from felloe.report.mark_words import mark_sentences

PROPOSAL = "a proposal: the most central term stands in"


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
