"""The interactive wheel: one page with everything inside, and the same chart as a list."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from felloe.report.chart import Record, chart_terms
from felloe.report.filling import content_hash, fill, script_json, tagged
from felloe.report.languages.language_words import Words, interface_words
from felloe.report.languages.own_texts import own_texts
from felloe.report.mark_words import marked_title
from felloe.report.screen.page_drawing import page_wheel
from felloe.report.screen.page_entries import (
    Entry,
    open_questions,
    page_entries,
    script_data,
    untranslated,
)
from felloe.report.screen.page_style import page_style
from felloe.report.sheet.beside import Beside
from felloe.report.sheet.key import COLUMNS, example, key_texts
from felloe.report.sheet.sheets import not_written, who_sorted
from felloe.report.sheet.svg import svg_fragment
from felloe.report.typeface.shaping import Typesetter

HERE = Path(__file__).parent
READS = ("report/screen/wheel.html.j2", "report/screen/wheel*.js")
SCRIPTS = ("wheel_view.js", "wheel_search.js", "wheel.js")  # in the order in which they run


def wheel_page(
    chart: Record,
    setter: Typesetter,
    weak: float,
    words: Words | None = None,
    languages: Mapping[str, str] | None = None,
) -> str:
    """
    Write the page.

    Parameters
    ----------
    chart : dict
        As in `chart.json`.
    setter : Typesetter
    weak : float
        Share of redraws under which two classes have no peg.
    words : Words, optional
        Those of the chart's language if nothing else is said.
    languages : mapping of str to str, optional
        Those that the study is worded in, by what its files bear: nothing, or `.de`.

    Returns
    -------
    str
        HTML that needs no network; whatever text the chart holds is shown as text.
    """
    from markupsafe import Markup

    words = words or interface_words(chart["language"])
    note, own = who_sorted(chart, words), own_texts(chart).language
    title = marked_title(chart, words)
    asked = words.fill("page.asked", instruction=chart["instruction"])
    wheel = page_wheel(chart, setter, weak, note, words)
    if not wheel.plan.form.worded:
        note = f"{note} {not_written(chart, words)}"
    entries = page_entries(chart, words)
    data = {**script_data(chart, wheel.plan.leaf), "words": words.group("page.script")}
    told = [chart["title"], note, chart["instruction"], *own_words(words), *texts_of(entries)]
    style = page_style(chart, wheel, told, setter)
    script = "\n".join((HERE / name).read_text(encoding="utf-8") for name in SCRIPTS)
    return fill(
        "report/screen/wheel.html.j2",
        chart=chart,
        words=words,
        language=chart["language"],
        others=other_languages(chart["language"], languages or {}),
        cards=f"cards{own_tag(chart['language'], languages or {})}.html",
        untranslated=untranslated(chart, words),
        sorted_by=note,
        title=title,
        heading=tagged(title, chart["title"], own),
        asked=tagged(asked, chart["instruction"], own),
        wheel_title=wheel_title(chart, words),
        box=wheel.box,
        drawing=Markup(svg_fragment(wheel.body, setter, wheel.attributes_of)),
        entries=entries,
        unsettled=open_questions(chart, words),
        key=how_to_read(wheel.beside, words),
        redraw=words["sheet.redraw"],
        has_references=any(term["reference"] for _, _, term in chart_terms(chart, True)),
        data=Markup(script_json(data)),
        style=Markup(style),
        script=Markup(script),
        style_hash=Markup(content_hash(style)),
        script_hash=Markup(content_hash(script)),
    )


def own_words(words: Words) -> Iterator[str]:
    """Yield the sentences that a page may show."""
    for group in ("page", "sheet", "sorted", "marks", "language"):
        yield from words.group(group).values()


def other_languages(own: str, languages: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Return the other languages of a study: tag, name in itself, and the page's file."""
    found = []
    for tag, language in languages.items():
        words = interface_words(language)
        name = language if words.notice else words["language.own_name"]
        if language != own:
            found.append((language, name, f"wheel{tag}.html"))
    return found


def own_tag(own: str, languages: Mapping[str, str]) -> str:
    """Return what the files of a language bear: nothing, or `.de`."""
    return next((tag for tag, language in languages.items() if language == own), "")


def how_to_read(beside: Beside, words: Words) -> list[tuple[str, list[str]]]:
    """Return the parts of the wheel with what they mean, as in the key of the sheet."""
    texts = key_texts(beside, example(beside))
    texts["class"] = [words["page.how_class"]]
    return [(words[f"sheet.{name}"], texts[name]) for name in COLUMNS]


def wheel_title(chart: Record, words: Words) -> str:
    """Return what the drawing is, with how much is in it."""
    on_ring = list(chart_terms(chart))
    subclasses = {subclass["id"] for _, subclass, _ in on_ring}
    return words.fill(
        "page.wheel",
        classes=words.counted("page.count.class", len({class_["id"] for class_, _, _ in on_ring})),
        subclasses=words.counted("page.count.subclass", len(subclasses)),
        terms=words.counted("page.count.term", len(on_ring)),
    )


def texts_of(entries: list[Entry] | tuple[Entry, ...]) -> Iterator[str]:
    """Yield the names of entries and all that is said of them."""
    for entry in entries:
        yield entry.name
        for fact in entry.facts:
            yield from fact.texts
        yield from texts_of(entry.inside)
