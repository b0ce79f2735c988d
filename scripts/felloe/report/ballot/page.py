"""The ballot as a page that opens from disk, with the script that makes files of its choices."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from felloe.report.ballot.questions import Question
from felloe.report.ballot.sources import TIERS, Sources
from felloe.report.ballot.wording import Wording
from felloe.report.filling import content_hash, fill, script_json
from felloe.report.languages.language_words import Words
from felloe.report.mark_words import marked_title, marks_told
from felloe.report.tones import DARK_TONES, TONES, scheme_variables
from felloe.validation.intake.raw.characters import cleaned

HERE = Path(__file__).parent
READS = ("report/ballot/ballot.html.j2", "report/ballot/ballot*.js", "report/ballot/ballot.css")
SCRIPTS = ("ballot_files.js", "ballot_page.js")  # in the order in which they run


def ballot_page(
    questions: Sequence[Question], sources: Sources, words: Words, limits: Mapping[str, int]
) -> str:
    """
    Write the page.

    Parameters
    ----------
    questions : sequence of Question
    sources : Sources
    words : Words
    limits : mapping of str to int
        Characters that the intake takes: `longest_label`, `longest_text`.

    Returns
    -------
    str
        HTML that needs no network; whatever text the study holds is shown as text.
    """
    from markupsafe import Markup

    style = scheme_variables(TONES, DARK_TONES) + (HERE / "ballot.css").read_text(encoding="utf-8")
    script = "\n".join((HERE / name).read_text(encoding="utf-8") for name in SCRIPTS)
    needless = [one for one in questions if one.needless]
    title = words.fill("ballot.title", title=marked_title(sources.chart, words))
    return fill(
        "report/ballot/ballot.html.j2",
        title=title,
        lead=words.fill(
            "ballot.lead",
            edition=sources.chart["edition"],
            questions=words.counted("ballot.questions", len(questions) - len(needless)),
        ),
        asked=[one for one in questions if not one.needless],
        needless=needless,
        marks=marks_told(sources.chart, words),
        in_parts=Wording(sources, words).in_parts(),
        questions=questions,
        label=sources.label,
        say=lambda key, **values: words.fill(f"ballot.{key}", **values),
        language=words.language,
        data=Markup(script_json(page_data(questions, sources, words, limits))),
        style=Markup(style),
        script=Markup(script),
        style_hash=Markup(content_hash(style)),
        script_hash=Markup(content_hash(script)),
    )


def page_data(
    questions: Sequence[Question], sources: Sources, words: Words, limits: Mapping[str, int]
) -> dict[str, Any]:
    """Return what the script makes files from."""
    origin = sources.origin
    translated = {(row["tier"], row["id"]) for row in sources.labels if row["tier"] in TIERS}
    return {
        "draft": ["felloe-ballot", origin.study, origin.edition],
        "chart": origin.chart,
        "limits": limits,
        "decisions": [plain(row) for row in sources.decisions],
        "names": [plain(row) for row in sources.names],
        "labels": sorted(translated),
        "label": sources.label,
        "ofData": {term: row["subclass"] for term, row in sources.of_data.items()},
        "place": {row["term"]: {tier: row[tier] for tier in TIERS} for row in sources.published},
        "members": {f"{tier}:{own}": terms for (tier, own), terms in sources.members.items()},
        "questions": [question_data(one) for one in questions],
        "words": words.group("ballot.script"),
        "fields": {
            "reason": words["ballot.reason"],
            "name": words["ballot.new_name"],
            "role": words["ballot.role"],
        },
    }


def question_data(question: Question) -> dict[str, Any]:
    """Return a question as the script knows it."""
    return {
        "number": question.number,
        "key": question.key,
        "kind": question.kind,
        "tier": question.tier,
        "subject": question.subject,
        "proposal": cleaned(question.proposal),
        "anchor": question.anchor,
        "needless": question.needless,
        "options": {
            one.value: {
                "code": one.code, "term": one.term, "group": one.group, "unkept": one.unkept
            }
            for one in question.options
        },
    }  # fmt: skip


def plain(row: Mapping[str, Any]) -> dict[str, str]:
    """Return a row of the study's own tables as text."""
    return {
        name: ("yes" if value else "no") if isinstance(value, bool) else str(value)
        for name, value in row.items()
        if name != "from_ballot"
    }
