"""Step: the whole chart as data, in every language; each population's own; what is open."""

from typing import Any

from felloe.colours.steps import chart_populations
from felloe.report.steps import assemble_chart, translate_chart
from felloe.sensitivity.steps import list_questions


def main(
    *,
    chart: str,
    limits: dict[str, float],
    labels: str,
    languages: list[str],
    unfit: str,
    translated: list[str],
    published: str,
    groups: str,
    order: str,
    asked: dict[str, Any],
    questions: str,
    own: dict[str, Any],
    together: list[str],
    both: list[str],
    own_charts: str,
    evidence: str,
    classes: str,
    decided: str,
    held: str,
    **sources: Any,
) -> None:
    """Put the results together and translate them; chart every population; list the questions."""
    shared: dict[str, Any] = {"published": published, "groups": groups}
    assemble_chart.main(chart=chart, limits=limits, order=order, **shared, **sources)
    for language, path in zip(languages, translated, strict=True):
        translate_chart.main(
            chart=chart, labels=labels, language=language, unfit=unfit, translated_chart=path
        )
    counted: dict[str, Any] = {"together": together, "both": both, **own}
    chart_populations.main(**counted, published=published, order=order, table=own_charts)
    list_questions.main(
        **shared,
        **asked,
        evidence=evidence,
        classes=classes,
        decided=decided,
        held=held,
        questions=questions,
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
