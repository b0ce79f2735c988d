"""The interactive wheel: one page with everything inside, and the same chart in words."""

import base64
import hashlib
import json
from pathlib import Path
from typing import Any

from felloe.colours.words import colour_reason
from felloe.comparison.provisional_words import marked
from felloe.ground.files.numbers import shown
from felloe.report.chart import Record, chart_terms
from felloe.report.mark_words import in_the_hub
from felloe.report.tones import css_variables
from felloe.report.wheel_drawing import segment
from felloe.report.words import (
    GAPS,
    NEIGHBOURS,
    ONLY_GAPS,
    PROPOSAL,
    counted,
    sorted_by,
)
from felloe.tiers.mark_words import mark_meanings

HERE = Path(__file__).parent
READS = ("report/wheel.*",)
NO_CAUTION = "not stated: ask before use"
STATUS_WORDS = {
    "firm": "firm",
    "doubtful": "doubtful: the data place it here, but not safely",
    "undecided": "undecided: the committee has to settle it",
    "moved": "moved by the committee",
}


def wheel_page(chart: Record) -> str:
    """
    Write the page.

    Parameters
    ----------
    chart : dict
        As in `chart.json`.

    Returns
    -------
    str
        HTML that needs no network; whatever text the chart holds is shown as text.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=FileSystemLoader(HERE),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    style = css_variables() + (HERE / "wheel.css").read_text(encoding="utf-8")
    script = (HERE / "wheel.js").read_text(encoding="utf-8")
    return environment.get_template("wheel.html.j2").render(
        chart=chart,
        sorted_by=sorted_by(chart),
        classes=drawn_classes(chart),
        data=Markup(script_json(panel_data(chart))),
        style=Markup(style),
        script=Markup(script),
        style_hash=Markup(content_hash(style)),
        script_hash=Markup(content_hash(script)),
        percent=lambda share: shown(share, "percent"),
        counted=counted(chart),
        in_the_hub=in_the_hub(chart),
        title=marked(chart["title"], chart["provisional"]),
        marks=mark_meanings(chart["limits"]),
        how_to_read=f"{NEIGHBOURS} {GAPS} {ONLY_GAPS}",
        status_words=STATUS_WORDS,
        no_caution=NO_CAUTION,
    )


def content_hash(text: str) -> str:
    """Return the hash by which a page allows this one style or script and no other."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def script_json(record: Any) -> str:
    """Return JSON that cannot end the element it stands in."""
    text = json.dumps(record, ensure_ascii=False, separators=(",", ":"))
    for character, escaped in (("<", "\\u003c"), (">", "\\u003e"), ("&", "\\u0026")):
        text = text.replace(character, escaped)
    return text


def drawn_classes(chart: Record) -> list[dict[str, Any]]:
    """Return the classes with their segments, in order around the circle."""
    return [
        {
            "id": class_["id"],
            "segments": [
                each
                for each in (
                    segment("class", class_),
                    *(segment("subclass", subclass) for subclass in class_["subclasses"]),
                    *(
                        segment("term", term)
                        for subclass in class_["subclasses"]
                        for term in subclass["terms"]
                    ),
                )
                if each is not None
            ],
        }
        for class_ in chart["classes"]
    ]


def panel_data(chart: Record) -> dict[str, Record]:
    """Return what the panel shows for each segment, by the segment's key, every text ready."""
    labels = {term["id"]: term["label"] for _, _, term in chart_terms(chart, True)}
    data = {}
    for class_ in chart["classes"]:
        members = sum(len(subclass["terms"]) for subclass in class_["subclasses"])
        gone = [term for subclass in class_["subclasses"] for term in subclass["absorbed"]]
        top = f"class-{class_['id']}"
        data[top] = group_panel(class_, "Class", members, gone, None, top)
        for subclass in class_["subclasses"]:
            middle = f"subclass-{subclass['id']}"
            count = len(subclass["terms"])
            data[middle] = group_panel(subclass, "Subclass", count, subclass["absorbed"], top, top)
            data[middle]["path"] = class_["name"]
            for term in subclass["terms"]:
                path = f"{class_['name']} \u203a {subclass['name']}"
                data[f"term-{term['id']}"] = term_panel(term, path, middle, top, labels)
    return data


def group_panel(
    group: Record, tier: str, members: int, absorbed: list[Record], parent: str | None, top: str
) -> Record:
    """Return the panel of a class or subclass."""
    facts = [["Terms", shown(members, "count")]]
    jaccard = group["support"]["jaccard"]
    if jaccard is not None:
        facts.append(
            ["Stability when participants are redrawn (Jaccard)", shown(jaccard, "decimal")]
        )
    share = group["support"]["bootstrap_proportion"]
    if share is not None:
        facts.append(["Redraws with exactly this group", shown(share, "percent")])
    if group["name_is_proposal"]:
        facts.append(["Name", PROPOSAL])
    definitions = [
        f"{term['label']}: {term['definition']}" for term in absorbed if term["definition"]
    ]
    return {
        "tier": tier,
        "name": group["name"],
        "path": "",
        "definition": " ".join(definitions),
        "facts": facts,
        "parent": parent,
        "top": top,
        "colour": group["colour"]["used"],
    }


def term_panel(term: Record, path: str, parent: str, top: str, labels: dict[str, str]) -> Record:
    """Return the panel of a term."""
    facts = [["Status", STATUS_WORDS[term["status"]]]]
    if term["decision"]:
        beside = labels.get(term["decision"]["beside"], term["decision"]["beside"])
        facts.append(["Decision", f"beside {beside}: {term['decision']['reason']}"])
    if term["home_probability"] is not None:
        facts.append(["In this class when participants are redrawn", percent(term, "home")])
    if term["rival_class"] and term["rival_probability"] is not None:
        facts.append(["Next likely class", f"{term['rival_class_name']}, {percent(term, 'rival')}"])
    nearest = [
        f"{labels.get(each['term'], each['term'])} {shown(each['share_together'], 'percent')}"
        for each in term["nearest"]
    ]
    if nearest:
        facts.append(["Most often put with it, by share of participants", ", ".join(nearest)])
    if term["colour"]["n_picks"]:
        picks = shown(term["colour"]["n_picks"], "count")
        facts.append(["Colour", f"{colour_reason(term['colour'])}, {picks} picks"])
    return {
        "tier": "Term",
        "name": term["label"],
        "path": path,
        "definition": term["definition"] or "",
        "reference": term["reference"] or "",
        "caution": term["caution"] or (NO_CAUTION if term["reference"] else ""),
        "facts": facts,
        "parent": parent,
        "top": top,
        "colour": term["colour"]["used"],
    }


def percent(term: Record, which: str) -> str:
    """Return a probability of a term as a reader sees it."""
    return shown(term[f"{which}_probability"], "percent")
