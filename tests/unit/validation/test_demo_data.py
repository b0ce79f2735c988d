"""Facts of the invented demo studies: they are what demo_data/README.md says they are.

The counts are the design of the demo studies. The adjusted Rand index is computed from its
definition (Hubert & Arabie 1985), the tree by SciPy; neither uses the project's own numerics.
"""

import csv
import re
import subprocess
import sys
from collections import Counter
from itertools import combinations
from math import comb
from pathlib import Path

import numpy as np
import pytest
import yaml
from coloraide import Color

DEMO = Path(__file__).resolve().parents[3] / "demo_data"
STUDIES = ("brine-2016", "brine-2026")
CVD = ("protan", "deutan", "tritan")
IDENTIFIER = re.compile(r"[a-z0-9][a-z0-9_-]*")


def read(name):
    with (DEMO / name).open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def terms_of(study):
    return {row["term"]: row for row in read(f"{study}/terms.csv")}


def piles_by_participant(study):
    sorts = {}
    for row in read(f"{study}/sorts.csv"):
        sorts.setdefault(row["participant"], {})[row["term"]] = row["pile"]
    return sorts


def partition(piles):
    """The set of piles, each a set of terms, without pile numbers."""
    members = {}
    for term, pile in piles.items():
        members.setdefault(pile, set()).add(term)
    return frozenset(frozenset(group) for group in members.values())


def careful(study):
    """The sorts of those who took their time, each partition once."""
    minutes = {row["participant"]: int(row["minutes"]) for row in read(f"{study}/participants.csv")}
    sorts = {}
    for participant, piles in sorted(piles_by_participant(study).items()):
        if minutes[participant] >= 15:
            sorts.setdefault(partition(piles), piles)
    return list(sorts.values())


def share_together(study):
    """Terms in sorted order, and the share of careful participants who put two together."""
    terms = sorted(terms_of(study))
    together = np.zeros((len(terms), len(terms)))
    both = np.zeros_like(together)
    for piles in careful(study):
        row = np.array([int(piles[term] or 0) for term in terms])
        placed = np.outer(row > 0, row > 0)
        together += placed & (row[:, None] == row)
        both += placed
    return terms, together / both


def adjusted_rand_index(first, second):
    """Hubert & Arabie (1985), equation 5, from the counts of pairs."""
    pairs = sum(comb(n, 2) for n in Counter(zip(first, second, strict=True)).values())
    in_first = sum(comb(n, 2) for n in Counter(first).values())
    in_second = sum(comb(n, 2) for n in Counter(second).values())
    expected = in_first * in_second / comb(len(first), 2)
    return (pairs - expected) / ((in_first + in_second) / 2 - expected)


@pytest.fixture(scope="module")
def rewritten(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    subprocess.run([sys.executable, "-B", str(DEMO / "make_demo.py"), str(folder)], check=True)
    return folder


def test_the_generator_writes_the_committed_bytes(rewritten):
    written = {path.relative_to(rewritten) for path in rewritten.rglob("*") if path.is_file()}
    differing = [
        str(path)
        for path in written
        if (rewritten / path).read_bytes() != (DEMO / path).read_bytes()
    ]
    assert not differing
    committed = {
        path.relative_to(DEMO)
        for pattern in ("*.csv", "brine-*/*")
        for path in DEMO.glob(pattern)
        if path.is_file()
    }
    assert written == committed


@pytest.mark.parametrize(
    ("study", "n_terms", "populations"),
    [
        ("brine-2016", 72, {"judges": 17, "makers": 35}),
        ("brine-2026", 96, {"panel": 22, "makers": 52}),
    ],
)
def test_terms_and_participants_are_as_many_as_stated(study, n_terms, populations):
    assert len(terms_of(study)) == n_terms
    people = Counter(row["population"] for row in read(f"{study}/participants.csv"))
    assert people == populations
    described = yaml.safe_load((DEMO / study / "study.yaml").read_text(encoding="utf-8"))
    assert set(described["populations"]) == set(populations)


@pytest.mark.parametrize("study", STUDIES)
def test_every_participant_meets_every_term_once_and_in_an_order_of_their_own(study):
    people = [row["participant"] for row in read(f"{study}/participants.csv")]
    assert len(people) == len(set(people))
    seen = {person: [] for person in people}
    positions = {person: [] for person in people}
    for row in read(f"{study}/sorts.csv"):
        seen[row["participant"]].append(row["term"])
        positions[row["participant"]].append(int(row["position"]))
    terms = sorted(terms_of(study))
    assert all(sorted(own) == terms for own in seen.values())
    assert all(sorted(own) == list(range(1, len(terms) + 1)) for own in positions.values())


@pytest.mark.parametrize("study", STUDIES)
def test_identifiers_are_valid_and_known(study):
    terms = terms_of(study)
    people = [row["participant"] for row in read(f"{study}/participants.csv")]
    assert all(IDENTIFIER.fullmatch(name) for name in [*terms, *people])
    used = [row["anchor"] for row in read(f"{study}/names.csv")]
    used += [row[column] for row in read(f"{study}/decisions.csv") for column in ("term", "beside")]
    used += [row["term"] for row in read(f"{study}/colours.csv")]
    assert set(used) <= set(terms)


@pytest.mark.parametrize("study", STUDIES)
def test_every_term_has_a_definition_a_reference_and_a_caution(study):
    rows = terms_of(study).values()
    assert all(row["label"] and row["reference"] and row["caution"] for row in rows)
    assert all(8 <= len(row["definition"].split()) <= 25 for row in rows)


def test_what_must_only_be_smelt_is_never_offered_for_tasting():
    rows = [row for study in STUDIES for row in terms_of(study).values()]
    smelt = [row for row in rows if row["reference"].startswith("Smell only")]
    assert len(smelt) > 20
    assert not [row["term"] for row in smelt if re.search(r"\b(chew|; taste)\b", row["reference"])]
    warned = [row for row in rows if "smell only" in row["caution"].lower()]
    assert {row["term"] for row in warned} <= {row["term"] for row in smelt}


@pytest.mark.parametrize(
    ("kin", "stems", "warning"),
    [
        (
            "umbellifers",
            "coriander|parsley|chervil|lovage|fennel|dill|caraway|celery|carrot|anise|cumin",
            "umbellifer",
        ),
        (
            "the cabbage family",
            "cabbage|kraut|radish|turnip|mustard|cauliflower|horseradish",
            "mustard",
        ),
        ("gourds", "cucumber|melon|courgette", "allergy related to pollen"),
    ],
)
def test_kin_warn_alike(kin, stems, warning):
    # kinship is botany's (Apiaceae, Brassicaceae, Cucurbitaceae; from memory)
    rows = [row for study in STUDIES for row in terms_of(study).values()]
    holding = [row for row in rows if re.search(rf"\b(?:{stems})", row["reference"])]
    assert holding
    silent = [row["term"] for row in holding if warning not in row["caution"]]
    assert not silent, kin


def test_no_caution_says_that_nothing_is_known():
    texts = [row["caution"] for study in STUDIES for row in terms_of(study).values()]
    texts += [row["caution"] for row in read("brine-2026/labels.csv")]
    assert not [text for text in texts if re.search(r"none known|nichts bekannt", text, re.I)]
    recorded = [text for text in texts if "None recorded" in text]
    assert recorded
    assert all("None recorded; ask for allergies." in text for text in recorded)


def test_what_causes_asthma_is_said_first():
    struck = terms_of("brine-2026")["struck-match"]
    assert struck["caution"].startswith("Smell only; not for people with asthma.")


@pytest.mark.parametrize("study", STUDIES)
def test_nobody_is_told_to_taste_an_amount_of_an_amount(study):
    amount = r"[\d.]+ m?[gl]\b"
    bad = re.compile(rf"\b[Tt]aste,? {amount} of {amount}")
    assert bad.search("Taste 10 ml of 5 ml soy sauce in 100 ml of water.")
    assert not [row["term"] for row in terms_of(study).values() if bad.search(row["reference"])]


def test_what_has_a_german_definition_has_a_german_caution():
    rows = [row for row in read("brine-2026/labels.csv") if row["definition"]]
    assert len(rows) > 20
    assert not [row["id"] for row in rows if not row["caution"]]


@pytest.mark.parametrize(
    ("ingredient", "allergen"),
    [
        ("mustard", "mustard"),
        ("celery", "celery"),
        ("sesame", "sesame"),
        ("soy", "soy"),
        ("anchovy", "fish"),
        ("shrimp", "crustacean"),
        ("walnut", "nuts"),
        ("hazelnut", "nuts"),
        ("malt", "gluten"),
        ("wheat", "gluten"),
        ("egg", "egg"),
        ("cheese", "milk"),
        ("buttermilk", "milk"),
        ("yoghurt", "milk"),
        ("soured cream", "milk"),
        ("sulphured dried", "sulphites"),
    ],
)
def test_an_allergen_in_a_reference_is_named_in_its_caution(ingredient, allergen):
    # the allergens are those that food law in the European Union has declared
    # (Regulation 1169/2011, Annex II; from memory)
    rows = [row for study in STUDIES for row in terms_of(study).values()]
    holding = [row for row in rows if re.search(rf"\b{ingredient}", row["reference"])]
    assert holding
    assert not [row["term"] for row in holding if allergen not in row["caution"].lower()]


def test_sixty_terms_are_shared_four_renamed_and_eight_retired():
    older, newer = terms_of("brine-2016"), terms_of("brine-2026")
    renamed = {row["renamed_from"] for row in newer.values()} - {""}
    assert len(older.keys() & newer.keys()) == 60
    assert len(renamed) == 4
    assert renamed <= older.keys()
    assert not renamed & newer.keys()
    assert len(older.keys() - newer.keys() - renamed) == 8


@pytest.mark.parametrize(
    ("study", "n_classes", "n_subclasses", "n_nowhere"),
    [("brine-2016", 8, 18, 1), ("brine-2026", 9, 24, 2)],
)
def test_the_planted_structure_covers_the_terms(study, n_classes, n_subclasses, n_nowhere):
    planted = read(f"{study}.planted.csv")
    assert [row["term"] for row in planted] == sorted(terms_of(study))
    placed = [row for row in planted if row["class"]]
    assert len(planted) - len(placed) == n_nowhere
    assert len({row["class"] for row in placed}) == n_classes
    subclasses = {row["subclass"]: row["class"] for row in placed}
    assert len(subclasses) == n_subclasses
    assert all(subclasses[row["subclass"]] == row["class"] for row in placed)


def test_the_moved_terms_are_those_whose_planted_class_differs():
    older = {row["term"]: row["class"] for row in read("brine-2016.planted.csv")}
    newer = {row["term"]: row["class"] for row in read("brine-2026.planted.csv")}
    before = {name: row["renamed_from"] or name for name, row in terms_of("brine-2026").items()}
    differing = {
        (term, older[before[term]], newer[term])
        for term in newer
        if before[term] in older and older[before[term]] != newer[term]
    }
    listed = read("moved.csv")
    assert {(row["term"], row["class_2016"], row["class_2026"]) for row in listed} == differing
    assert sum(row["kind"] == "moved" for row in listed) == 6


@pytest.mark.parametrize("study", STUDIES)
def test_no_planted_group_has_two_names_and_every_planted_class_has_one(study):
    planted = {row["term"]: row for row in read(f"{study}.planted.csv")}
    for tier in ("class", "subclass"):
        anchors = [row["anchor"] for row in read(f"{study}/names.csv") if row["tier"] == tier]
        named = [planted[anchor][tier] for anchor in anchors]
        assert len(named) == len(set(named))
        if tier == "class":
            assert set(named) == {row[tier] for row in planted.values()} - {""}


def test_the_careless_of_2026_are_one_pile_all_apart_and_in_order():
    minutes = {
        row["participant"]: int(row["minutes"]) for row in read("brine-2026/participants.csv")
    }
    quick = {participant for participant, spent in minutes.items() if spent < 15}
    sorts = piles_by_participant("brine-2026")
    assert sorted(len(set(sorts[participant].values())) for participant in quick) == [1, 12, 96]
    shown = {participant: [] for participant in quick}
    for row in sorted(read("brine-2026/sorts.csv"), key=lambda row: int(row["position"])):
        if row["participant"] in quick:
            shown[row["participant"]].append(int(row["pile"]))
    assert all(piles == sorted(piles) for piles in shown.values())


def test_two_sorts_of_2026_are_incomplete_and_one_was_received_twice():
    sorts = piles_by_participant("brine-2026")
    unplaced = [sum(not pile for pile in piles.values()) for piles in sorts.values()]
    assert sorted(share for share in unplaced if share) == [6, 11]
    twice = [n for n in Counter(partition(piles) for piles in sorts.values()).values() if n > 1]
    assert twice == [2]


def test_some_lump_and_some_split():
    counts = [len(set(piles.values()) - {""}) for piles in careful("brine-2026")]
    assert sum(count <= 9 for count in counts) >= 8
    assert sum(15 <= count <= 31 for count in counts) >= 20
    assert min(counts) >= 5


@pytest.mark.parametrize("study", STUDIES)
def test_average_linkage_finds_most_of_the_planted_classes_again(study):
    from scipy.cluster.hierarchy import average, fcluster
    from scipy.spatial.distance import squareform

    terms, together = share_together(study)
    planted = {row["term"]: row["class"] for row in read(f"{study}.planted.csv")}
    placed = [i for i, term in enumerate(terms) if planted[term]]
    classes = [planted[terms[i]] for i in placed]
    # the terms planted nowhere stand alone, so that many more groups are cut
    n_groups = len(set(classes)) + len(terms) - len(placed)
    tree = average(squareform(1 - together, checks=False))
    found = fcluster(tree, n_groups, "maxclust")
    index = adjusted_rand_index(classes, list(found[placed]))
    assert 0.85 < index < 0.99


@pytest.mark.parametrize("study", STUDIES)
def test_neighbours_on_the_ring_of_classes_are_joined_more_often(study):
    terms, together = share_together(study)
    planted = {row["term"]: row["class"] for row in read(f"{study}.planted.csv")}
    year = study.removeprefix("brine-")
    rows = [row["class"] for row in read("sources/groups.csv") if row["edition"] == year]
    ring = list(dict.fromkeys(rows))
    near, far = [], []
    for i, first in enumerate(ring):
        for j in range(i):
            here = [planted[term] == first for term in terms]
            there = [planted[term] == ring[j] for term in terms]
            share = together[np.ix_(here, there)].mean()
            (near if (i - j) % len(ring) in (1, len(ring) - 1) else far).append(share)
    assert np.mean(near) > 1.5 * np.mean(far)


@pytest.mark.parametrize("study", STUDIES)
def test_colours_are_hexadecimal_and_picked_for_most_terms(study):
    rows = read(f"{study}/colours.csv")
    assert all(re.fullmatch(r"#[0-9a-f]{6}", row["colour"]) for row in rows)
    assert len({row["respondent"] for row in rows}) == 12
    assert len({(row["term"], row["respondent"]) for row in rows}) == len(rows)
    assert 0.85 <= len({row["term"] for row in rows}) / len(terms_of(study)) < 1


# what most people expect of a name, as hues of CIELAB from red (20) by yellow (100), green (150)
# and blue (270) to pink (350); from common sense, and wide
EXPECTED = {
    "taste": [(80, 135)],
    "sour": [(80, 135)],
    "fruit": [(320, 360), (0, 125)],
    "green": [(105, 190)],
    "spice": [(10, 100)],
    "pungent": [(80, 180), (290, 345)],
    "off": [(30, 170)],
    "savoury": [(10, 90)],
    "salt": [(190, 290)],
}


def picked_by_class(study):
    """The mean of the picks of every planted class, in CIELAB by coloraide."""
    home = {row["term"]: row["class"] for row in read(f"{study}.planted.csv") if row["class"]}
    picks = {}
    for row in read(f"{study}/colours.csv"):
        if row["term"] in home:
            lab = Color(row["colour"]).convert("lab-d65").coords()
            picks.setdefault(home[row["term"]], []).append(lab)
    return {name: Color("lab-d65", np.mean(labs, axis=0)) for name, labs in picks.items()}


@pytest.mark.parametrize("study", STUDIES)
def test_no_class_is_picked_in_the_hue_that_its_name_suggests(study):
    picked = picked_by_class(study)
    hues = {name: colour.convert("lch-d65")["hue"] for name, colour in picked.items()}
    met = [
        name
        for name, hue in hues.items()
        if any(low <= hue <= high for low, high in EXPECTED.get(name, ()))
    ]
    assert set(hues) <= {*EXPECTED, "texture"}  # of bite nobody expects a hue
    assert met == []


@pytest.mark.parametrize("study", STUDIES)
@pytest.mark.parametrize(("vision", "least"), [(None, 10), *((v, 4) for v in CVD)])
def test_classes_are_told_apart_by_their_picks(study, vision, least):
    # 10 and 4 are `colours.minimum_delta_e` and `minimum_delta_e_simulated` of config.yaml
    colours = [colour.convert("srgb").clip() for colour in picked_by_class(study).values()]
    if vision:
        colours = [colour.filter(vision, method="machado").clip() for colour in colours]
    apart = [one.delta_e(other, method="2000") for one, other in combinations(colours, 2)]
    assert min(apart) >= least
