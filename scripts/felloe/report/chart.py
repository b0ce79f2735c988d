"""The whole chart as data: put together from results, written as `chart.json`, read again."""

from felloe.comparison.chart import read_chart_source
from felloe.ground.records import read_json, write_json
from felloe.ground.sorts import POOLED
from felloe.ground.tables import number, read_square, read_table

FORMAT = "felloe-chart/1"
NEAREST = 5  # neighbours in the data that are named for each term
ANGLES = {
    "unit": "degree",
    "zero": "top",
    "direction": "clockwise",
    "meaning": "only gaps between neighbours can be read; the top and ways across mean nothing",
}


def assemble_chart(
    *, about, terms, published, groups, support, order, colours, distances, decisions, flow,
    whose, limits,
):  # fmt: skip
    """
    Put the results of a study together as one chart.

    Parameters
    ----------
    about, terms, published, groups, support, order, colours, distances, decisions, flow,
    whose : path
        `validation/study.json`, `validation/terms.csv`, `tiers/published.csv`, `tiers/groups.csv`,
        `clustering/support.csv`, `circle/order.csv`, `circle/colours.csv`,
        `clustering/distances.csv`, `validation/decisions.csv`, `validation/flow.csv`,
        `comparison/populations.json`.
    limits : dict
        Home-class probabilities from which a term is firm and below which it is undecided.

    Returns
    -------
    dict
        As `workflow/schemas/chart.schema.yaml` describes it.
    """
    study, source = read_json(about), read_chart_source(whose).source
    ring = read_table(order)
    members = read_table(published)
    sources = {
        "words": {row["term"]: row for row in read_table(terms)},
        "tiers": {row["term"]: row for row in members},
        "colours": {(row["tier"], row["term"]): row for row in read_table(colours)},
        "groups": {
            (row["tier"], row["id"]): row
            for row in read_table(groups)
            if row["chart"] == "published"
        },
        "support": {frozenset(row["members"].split(";")): row for row in read_table(support)},
        "nearest": nearest_terms(*read_square(distances)),
        "decisions": {row["term"]: row for row in read_table(decisions)},
        "class_names": {row["class"]: row["class_name"] for row in members},
    }
    return {
        "format": FORMAT,
        "title": study["title"],
        "edition": str(study["edition"]),
        "instruction": study.get("instruction", ""),
        "populations": [
            {
                "id": name,
                "label": label,
                "participants": analysed_people(flow, name),
                "charted": source in (POOLED, name),
            }
            for name, label in study["populations"].items()
        ],
        "angles": ANGLES,
        "limits": limits,
        "classes": nested(ring, members, sources),
    }


def sorted_by(chart):
    """Return who sorted the terms and whose sorts are charted, and whether data are invented."""
    groups = [f"{each['label']} {each['participants']}" for each in chart["populations"]]
    total = sum(each["participants"] for each in chart["populations"])
    sentence = f"Terms sorted by {total} participants ({', '.join(groups)})."
    if not all(each["charted"] for each in chart["populations"]):
        of = [each["label"] for each in chart["populations"] if each["charted"]]
        sentence += f" The chart is that of {', '.join(of)} alone."
    return sentence + (" The data are invented." if "invented" in chart["title"].lower() else "")


def nested(ring, members, sources):
    """Return classes, subclasses and terms in order around the circle, absorbed terms apart."""
    ring = from_a_boundary(ring)
    absorbed = [row for row in members if row.get("absorbed") == "yes"]
    classes = []
    for class_ in dict.fromkeys(row["class"] for row in [*ring, *absorbed]):
        of_class = [row for row in ring if row["class"] == class_]
        left = [row for row in absorbed if row["class"] == class_]
        entry = group_entry("class", class_, of_class, members, sources)
        entry["subclasses"] = []
        for subclass in dict.fromkeys(row["subclass"] for row in [*of_class, *left]):
            inside = [row for row in of_class if row["subclass"] == subclass]
            part = group_entry("subclass", subclass, inside, members, sources)
            part["terms"] = [term_entry(row["term"], row, sources) for row in inside]
            part["absorbed"] = [
                term_entry(row["term"], None, sources)
                for row in left
                if row["subclass"] == subclass
            ]
            entry["subclasses"].append(part)
        classes.append(entry)
    return classes


def from_a_boundary(ring):
    """Turn the list so that it starts where a class starts; a circle has no first row."""
    for at in range(len(ring)):
        if ring[at - 1]["class"] != ring[at]["class"]:
            return ring[at:] + ring[:at]
    return ring


def group_entry(tier, name, rows, members, sources):
    """Return what is known of one class or subclass."""
    own = [row for row in members if row[tier] == name]
    group = sources["groups"].get((tier, name), {})
    node = sources["support"].get(frozenset(row["term"] for row in own), {})
    start, end = span(rows)
    return {
        "id": name,
        "name": own[0][f"{tier}_name"] or name,
        "name_is_proposal": group.get("proposed") == "yes",
        "anchor": group.get("anchor") or None,
        "start_deg": start,
        "end_deg": end,
        "gap_after_deg": optional(rows[-1]["gap_after_deg"]) if rows else None,
        "support": {
            "jaccard": optional(group.get("jaccard") or node.get("jaccard")),
            "bootstrap_proportion": optional(node.get("bootstrap_proportion")),
            "height": optional(node.get("height")),
        },
        "colour": colour_entry(tier, name, sources),
    }


def span(rows):
    """Return the angles at which a run of sectors starts and ends; the end may pass 360."""
    if not rows:
        return None, None
    start, end = float(rows[0]["start_deg"]), float(rows[-1]["end_deg"])
    return start, end + 360 if end <= start else end


def term_entry(term, row, sources):
    """Return what is known of one term; `row` is its sector, None off the ring."""
    word, tiers = sources["words"].get(term, {}), sources["tiers"][term]
    decision = sources["decisions"].get(term)
    rival = tiers.get("rival_class") or None
    start, end = span([row] if row else [])
    return {
        "id": term,
        "label": word.get("label") or term,
        "definition": word.get("definition") or None,
        "reference": word.get("reference") or None,
        "caution": word.get("caution") or None,
        "start_deg": start,
        "end_deg": end,
        "gap_after_deg": optional(row["gap_after_deg"]) if row else None,
        "join_height_to_next": optional(row["join_height_to_next"]) if row else None,
        "status": tiers["status"],
        "home_probability": optional(tiers["home_probability"]),
        "rival_class": rival,
        "rival_class_name": sources["class_names"].get(rival, rival),
        "rival_probability": optional(tiers["rival_probability"]),
        "decision": {
            "beside": decision["beside"],
            "reason": decision["reason"],
            "decided_on": decision["decided_on"],
        }
        if decision and tiers["status"] == "moved"
        else None,
        "nearest": sources["nearest"].get(term, []),
        "colour": colour_entry("term", term, sources),
    }


def colour_entry(tier, name, sources):
    """Return the colours of one segment."""
    row = sources["colours"][tier, name]
    return {
        "used": row["used"],
        "picked": row["picked"] or None,
        "delta_e_2000": optional(row["delta_e_2000"]),
        "n_picks": int(row["n_picks"]),
        "reason": row["reason"],
        "text": row["text_colour"],
        "contrast_ratio": optional(row["contrast_ratio"]),
        "outline": row["outline"],
    }


def nearest_terms(terms, distances):
    """Return for each term those most often put with it, and the share who did; ties by id."""
    nearest = {}
    for at, term in enumerate(terms):
        ranked = [int(i) for i in distances[at].argsort(kind="stable") if i != at]
        nearest[term] = [
            {"term": terms[i], "share_together": round(1 - float(distances[at, i]), 12)}
            for i in ranked[:NEAREST]
        ]
    return nearest


def analysed_people(flow, population):
    """Return how many participants of a population were analysed."""
    return next(
        int(row["n"])
        for row in read_table(flow)
        if row["population"] == population and row["stage"] == "analysed"
    )


def optional(text):
    """Return a cell's number, None for an empty or missing one."""
    return None if text in (None, "") else number(text)


def write_chart(path, chart):
    """Write a chart as JSON."""
    write_json(path, chart)


def read_chart(path):
    """Read a chart."""
    return read_json(path)


def chart_terms(chart, with_absorbed=False):
    """Yield (class, subclass, term) entries in order around the circle."""
    for class_ in chart["classes"]:
        for subclass in class_["subclasses"]:
            for term in subclass["terms"] + (subclass["absorbed"] if with_absorbed else []):
                yield class_, subclass, term
