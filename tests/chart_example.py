"""A chart made up for tests: all the files a wheel is drawn from, of any size."""

from collections import Counter
from itertools import pairwise

import numpy as np
from choose_colours import main as choose_colours
from felloe.circle.tables import ADJACENCY, ORDER
from felloe.clustering.tables import SUPPORT
from felloe.clustering.tree_files import write_tree
from felloe.ground.files.records import write_json
from felloe.ground.files.tables import write_square
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import Terms
from felloe.report.chart import assemble_chart, read_sources
from felloe.settings import DEFAULTS, read_yaml
from felloe.tiers.tables import GROUPS, PLACES, PUBLISHED
from felloe.validation.tables import DECISIONS, FLOW, PICKS, TERMS

CLASS_NAMES = (
    "Sour", "Fruity and sweet", "Green", "Spice and heat", "Faults and spoilage",
    "Umami", "Earth, wood and smoke", "Bitter", "Mouthfeel", "Animal", "Floral", "Other",
)  # fmt: skip
WORDS = (
    "brine", "cabbage leaf", "lemon peel", "wet cardboard", "clove", "raw beetroot", "malt",
    "juniper berry", "old cellar", "vinegar", "toasted sesame", "cut grass", "soft", "onion",
)  # fmt: skip
STATUSES = ("firm",) * 6 + ("doubtful", "undecided", "moved")
MOST_GAPS = 120.0  # degrees for all gaps of a ring
LIMITS = {"firm_probability": 0.75, "undecided_probability": 0.5}


def tree_of_terms(n_classes, n_terms):
    """Return (term, subclass, class) ids in ring order: groups of uneven size, none empty."""
    names = [f"t{at:03d}" for at in range(n_terms)]
    bounds = np.unique(np.round(np.linspace(0, 1, n_classes + 1) ** 1.25 * n_terms).astype(int))
    rows = []
    for low, high in pairwise(bounds):
        size = 1
        at = low
        while at < high:
            inside = names[at : min(at + size, high)]
            rows += [(term, inside[0], names[low]) for term in inside]
            at, size = at + size, size % 5 + 2
    return rows


def write_example(folder, n_classes=9, n_terms=96, words=WORDS, absorb=True, picks=()):
    """
    Write the results of an invented study and return the paths by the rules' names.

    The last term of the first class with three members is absorbed when `absorb` is true.
    """
    rows = tree_of_terms(n_classes, n_terms)
    absorbed = rows[len(rows) // 2][0] if absorb else None
    paths = {
        "about": folder / "study.json",
        "whose": folder / "chart_source.json",
        "flow": folder / "flow.csv",
        **{
            name: folder / f"{name}.csv"
            for name in ("terms", "published", "groups", "support", "distances")
        },
        **{name: folder / f"{name}.csv" for name in ("order", "decisions", "picks", "colours")},
        **{name: folder / f"{name}.csv" for name in ("tree", "adjacency")},
    }
    write_study(paths)
    words_of = [word_row(row[0], at, words) for at, row in enumerate(rows)]
    write(TERMS, paths["terms"], words_of)
    write_tiers(paths, rows, absorbed)
    ring = [row for row in rows if row[0] != absorbed]
    write(ORDER, paths["order"], sectors(ring))
    write_distances(paths["distances"], rows)
    write_tree(paths["tree"], tree_of_rows(rows))
    write_adjacency(paths["adjacency"], list(dict.fromkeys(row[2] for row in rows)))
    PICKS.write(paths["picks"], everybodys(picks))
    return paths


def chart_of(folder, **options):
    """Return a chart made up for tests."""
    return assemble_chart(read_sources(**sources_of(folder, **options)), LIMITS)


def sources_of(folder, **options):
    """Return the files that a chart is put together from, colours chosen by the real step."""
    paths = write_example(folder, **options)
    choose_colours(
        picks=paths.pop("picks"),
        places=paths["published"].with_name("places.csv"),
        order=paths["order"],
        settings=read_yaml(DEFAULTS)["colours"],
        smallest_cell=1,
        colours=paths["colours"],
    )
    return paths


def everybodys(picks):
    """Return rows of picks, given as how many people picked which colour for a term."""
    people = Counter()
    for term, colour, n in picks:
        for _ in range(n):
            people[term] += 1
            yield term, f"c{people[term]:02d}", colour


def write(table, path, rows):
    """Write rows that name some of a table's columns; the others stay empty."""
    table.write(path, [{**dict.fromkeys(table.names), **row} for row in rows])


def write_study(paths):
    study = {
        "title": "Words of a guild (invented data)",
        "edition": "2031",
        "instruction": "Put together what belongs together.",
        "populations": {"panel": "Trained panel", "makers": "Makers"},
        "language": "en",
    }
    write_json(paths["about"], study)
    write_json(paths["whose"], {"source": "pooled", "weights": "plain"})
    counts = {"panel": 20, "makers": 41, "pooled": 61}
    flow = [{"population": name, "stage": "analysed", "n": n} for name, n in counts.items()]
    write(FLOW, paths["flow"], flow)


def word_row(term, at, words):
    label = words[at % len(words)] + (f" {at // len(words) + 1}" if at >= len(words) else "")
    return {
        "term": term,
        "label": label,
        "definition": f"What {label} smells of.",
        "reference": f"5 g of {label}.",
        "caution": "None known.",
    }


def write_places(published):
    """Write beside the published tiers where their terms are, without names."""
    rows = PUBLISHED.read(published)
    kept = [{name: row[name] for name in PLACES.names} for row in rows]
    PLACES.write(published.with_name("places.csv"), kept)


def write_tiers(paths, rows, absorbed):
    classes = list(dict.fromkeys(row[2] for row in rows))
    names = {class_: CLASS_NAMES[at % len(CLASS_NAMES)] for at, class_ in enumerate(classes)}
    table, decisions = [], []
    for at, (term, subclass, class_) in enumerate(rows):
        status = STATUSES[at * 7 % len(STATUSES)]
        rival = classes[(classes.index(class_) + 1) % len(classes)]
        table.append(
            [term, class_, subclass, names[class_], f"Kin of {subclass}", 0.9, rival, 0.1, status]
            + [term == absorbed]
        )
        if status == "moved":
            decisions.append([term, rows[at - 1][0], "Trade use.", "2031-02-03", "committee"])
            decisions[-1].append(False)
    PUBLISHED.write(paths["published"], sorted(table))
    write_places(paths["published"])
    DECISIONS.write(paths["decisions"], sorted(decisions))
    groups = [("published", "class", c, None, names[c], False, c, 1, 0.8) for c in classes]
    subclasses = dict.fromkeys((row[1], row[2]) for row in rows)
    groups += [
        ("published", "subclass", s, c, f"Kin of {s}", True, s, 1, 0.7) for s, c in subclasses
    ]
    GROUPS.write(paths["groups"], groups)
    support = [
        {
            "node": at,
            "members": ";".join(row[0] for row in rows if row[2] == class_),
            "height": 0.9,
            "bootstrap_proportion": 0.66,
            "jaccard": 0.8,
            "supported": at % 2 == 0,
        }
        for at, class_ in enumerate(classes)
    ]
    write(SUPPORT, paths["support"], support)


def sectors(ring):
    """Return rows of `order.csv`: gaps of 0.2, 0.8 and 3 degrees, the rest shared equally."""
    gaps, heights = [], []
    for row, following in zip(ring, [*ring[1:], ring[0]]):
        grade = (row[1] != following[1]) + (row[2] != following[2])
        gaps.append((0.2, 0.8, 3.0)[grade])
        heights.append((0.3, 0.6, 0.95)[grade])
    gaps = [gap * min(1.0, MOST_GAPS / sum(gaps)) for gap in gaps]
    width = (360 - sum(gaps)) / len(ring)
    at, rows = 0.0, []
    for row, gap, height in zip(ring, gaps, heights):
        rows.append(
            {
                "term": row[0],
                "class": row[2],
                "subclass": row[1],
                "start_deg": at,
                "end_deg": at + width,
                "gap_after_deg": gap,
                "join_height_to_next": height,
            }
        )
        at += width + gap
    return rows


def tree_of_rows(rows):
    """Return a tree that joins neighbours: within subclasses, then within classes, then classes."""
    terms = Terms(sorted(row[0] for row in rows))
    grade = [(a[1] != b[1]) + (a[2] != b[2]) for a, b in pairwise(rows)]
    order = sorted(range(len(grade)), key=lambda at: (grade[at], at))
    node = {row[0]: terms.index(row[0]) for row in rows}
    size, Z = dict.fromkeys(range(len(rows)), 1), []
    for merge, at in enumerate(order):
        one, other = node[rows[at][0]], node[rows[at + 1][0]]
        made = len(rows) + merge
        node = {term: made if old in (one, other) else old for term, old in node.items()}
        size[made] = size[one] + size[other]
        height = (0.2, 0.6, 0.9)[grade[at]] + 0.05 * merge / len(order)
        Z.append([one, other, height, size[made]])
    return Tree(terms, np.array(Z))


def write_adjacency(path, classes):
    """Write neighbours of which some are sure, some are not, and some are hardly ever."""
    shares = (0.95, 0.6, 0.2)
    rows = [
        {"class": one, "other_class": other, "support": shares[(i + j) % 3], "neighbours": True}
        for i, one in enumerate(classes)
        for j, other in enumerate(classes[i + 1 :])
    ]
    write(ADJACENCY, path, rows)


def write_distances(path, rows):
    terms = sorted(row[0] for row in rows)
    place = {row[0]: row for row in rows}
    same = [[sum(place[a][k] == place[b][k] for k in (1, 2)) for b in terms] for a in terms]
    distances = 1 - np.array(same) * 0.3
    np.fill_diagonal(distances, 0)
    write_square(path, terms, distances)
