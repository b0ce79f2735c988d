"""Step: put the wording of another language into the chart."""

from felloe.report.chart import read_chart, write_chart
from felloe.report.languages.translation import translated
from felloe.validation.tables import LABELS


def main(*, chart: str, labels: str, language: str, unfit: str, translated_chart: str) -> None:
    """Read the chart and the labels, translate, write; say how much has no translation."""
    found = translated(read_chart(chart), LABELS.read(labels), language, unfit)
    write_chart(translated_chart, found)
    lacking = sum("label" in entry["parts"] for entry in found["untranslated"])
    print(f"{language}: {lacking} label(s) stay in the study's own language")
