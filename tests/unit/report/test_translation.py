"""The chart in another language: the same chart, each text by its definition, gaps listed."""

import copy

import pytest
import yaml
from felloe.errors import StudyError
from felloe.ground.files.records import read_json, write_json
from felloe.report.chart import chart_terms
from felloe.report.languages.translation import translated
from felloe.report.steps.translate_chart import main as translate_chart
from felloe.validation.tables import LABELS
from jsonschema import Draft202012Validator
from test_chart import SCHEMA, chart_of

PARTS = ("label", "definition", "reference", "caution")


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("own"), n_classes=4, n_terms=24)


def row(tier, name, label, language="de", **more):
    empty = {"definition": "", "reference": "", "caution": ""}
    return {"id": name, "tier": tier, "language": language, "label": label, **empty, **more}


def terms_of(chart):
    return {term["id"]: term for _, _, term in chart_terms(chart, True)}


def groups_of(chart):
    """Return (tier, entry, ids of its terms) of every group."""
    for class_ in chart["classes"]:
        inside = []
        for subclass in class_["subclasses"]:
            own = [term["id"] for term in subclass["terms"] + subclass["absorbed"]]
            inside += own
            yield "subclass", subclass, own
        yield "class", class_, inside


@pytest.fixture(scope="module")
def labels(chart):
    """German for two terms in three, some in full, and for each second group by its last term."""
    rows = [row("term", "t001", "nicht deutsch", "fr"), row("class", "t000", "autre", "fr")]
    for at, term in enumerate(terms_of(chart)):
        if at % 3:
            more = {part: f"{part} {at}" for part in PARTS[1:] if at % 3 == 1}
            rows.append(row("term", term, f"Wort {at}", **more))
    for at, (tier, _, inside) in enumerate(groups_of(chart)):
        if at % 2:
            rows.append(row(tier, sorted(inside)[-1], f"Gruppe {at}"))
    return rows


def expected_text(labels, tier, names, part, otherwise):
    """Return a text by its definition, looked for row by row."""
    for each in labels:
        if each["language"] == "de" and each["tier"] == tier and each["id"] in names and each[part]:
            return each[part], True
    return otherwise, False


def test_every_text_of_a_term_is_the_translation_or_the_original(chart, labels):
    there = terms_of(translated(chart, labels, "de"))
    for name, term in terms_of(chart).items():
        for part in PARTS:
            assert there[name][part] == expected_text(labels, "term", [name], part, term[part])[0]


def test_every_name_of_a_group_is_that_of_an_anchor_within_it(chart, labels):
    names = {}
    for tier, group, inside in groups_of(chart):
        text, found = expected_text(labels, tier, inside, "label", group["name"])
        if not found and group["name_is_proposal"]:
            text, _ = expected_text(labels, "term", [group["anchor"]], "label", group["name"])
        names[tier, group["id"]] = text
    made = {(tier, g["id"]): g["name"] for tier, g, _ in groups_of(translated(chart, labels, "de"))}
    assert made == names
    assert sum(name.startswith("Gruppe") for name in names.values()) > 5
    assert sum(name.startswith("Wort") for name in names.values()) >= 2  # proposals


def test_what_has_no_translation_is_listed_and_nothing_else(chart, labels):
    listed = {
        (each["tier"], each["id"], part)
        for each in translated(chart, labels, "de")["untranslated"]
        for part in each["parts"]
    }
    due = set()
    for name, term in terms_of(chart).items():
        for part in PARTS:
            if term[part] and not expected_text(labels, "term", [name], part, "")[1]:
                due.add(("term", name, part))
    for tier, group, inside in groups_of(chart):
        found = expected_text(labels, tier, inside, "label", "")[1]
        if not found and group["name_is_proposal"]:
            found = expected_text(labels, "term", [group["anchor"]], "label", "")[1]
        if not found:
            due.add((tier, group["id"], "label"))
    assert listed == due


def test_a_text_that_the_study_has_not_is_no_gap(chart):
    bare = copy.deepcopy(chart)
    for term in terms_of(bare).values():
        term["caution"] = None
    parts = [each["parts"] for each in translated(bare, [], "de")["untranslated"]]
    assert not any("caution" in each for each in parts)
    assert any("reference" in each for each in parts)


def test_absorbed_terms_are_translated_too(chart):
    (gone,) = [term for _, sub, term in chart_terms(chart, True) if term in sub["absorbed"]]
    made = terms_of(translated(chart, [row("term", gone["id"], "Verschwunden")], "de"))
    assert made[gone["id"]]["label"] == "Verschwunden"


def test_an_absorbed_term_is_an_anchor_of_its_group(chart):
    ((class_, gone),) = [(c, t) for c, s, t in chart_terms(chart, True) if t in s["absorbed"]]
    made = translated(chart, [row("class", gone["id"], "Neu")], "de")
    assert [each["name"] for each in made["classes"] if each["id"] == class_["id"]] == ["Neu"]


def test_rivals_are_called_as_their_classes_are(chart, labels):
    made = translated(chart, labels, "de")
    names = {class_["id"]: class_["name"] for class_ in made["classes"]}
    rivals = [term for term in terms_of(made).values() if term["rival_class"]]
    assert rivals
    assert all(term["rival_class_name"] == names[term["rival_class"]] for term in rivals)


def test_nothing_but_the_wording_changes(chart, labels):
    made = copy.deepcopy(translated(chart, labels, "de"))
    assert (made.pop("language"), made.pop("own_language")) == ("de", "en")
    made["language"], made["untranslated"] = "en", []
    own, other = terms_of(chart), terms_of(made)
    for name, term in other.items():
        for part in (*PARTS, "rival_class_name"):
            term[part] = own[name][part]
    for (_, before, _), (_, after, _) in zip(groups_of(chart), groups_of(made), strict=True):
        after["name"] = before["name"]
    assert made == chart


def test_the_own_chart_is_left_alone(chart, labels):
    before = copy.deepcopy(chart)
    translated(chart, labels, "de")
    assert chart == before


def test_labels_may_agree_on_two_anchors_of_a_group(chart):
    _, group, inside = next(each for each in groups_of(chart) if len(each[2]) > 2)
    tier = "subclass"
    rows = [row(tier, name, "Gleich") for name in inside[:2]]
    made = {g["id"]: g["name"] for t, g, _ in groups_of(translated(chart, rows, "de")) if t == tier}
    assert made[group["id"]] == "Gleich"


def test_labels_that_differ_on_two_anchors_of_a_group_are_a_fault(chart):
    _, group, inside = next(each for each in groups_of(chart) if len(each[2]) > 2)
    first, second = sorted(inside)[:2]
    rows = [row("subclass", first, "Eins"), row("subclass", second, "Zwei")]
    with pytest.raises(StudyError) as caught:
        translated(chart, rows, "de")
    (fault,) = caught.value.faults
    assert (fault.file, fault.column, fault.value) == ("labels.csv", "id", first)
    for told in (group["name"], "'Eins'", "'Zwei'", f"'{second}'", "'de'"):
        assert told in fault.problem
    assert "Keep one" in fault.remedy


def test_where_names_may_be_proposals_labels_that_meet_are_left_out(chart):
    _, group, inside = next(each for each in groups_of(chart) if len(each[2]) > 2)
    rows = [row("subclass", inside[0], "Eins"), row("subclass", inside[1], "Zwei")]
    made = translated(chart, rows, "de", unfit="propose")
    assert {"tier": "subclass", "id": group["id"], "parts": ["label"]} in made["untranslated"]
    names = {g["id"]: g["name"] for tier, g, _ in groups_of(made) if tier == "subclass"}
    assert names[group["id"]] == group["name"]


def test_the_step_writes_a_chart_that_keeps_to_the_schema(chart, labels, tmp_path):
    write_json(tmp_path / "chart.json", chart)
    LABELS.write(tmp_path / "labels.csv", labels)
    paths = {
        name: tmp_path / file for name, file in (("chart", "chart.json"), ("labels", "labels.csv"))
    }
    translate_chart(**paths, language="de", unfit="refuse", translated_chart=tmp_path / "de.json")
    made = read_json(tmp_path / "de.json")
    schema = yaml.safe_load(SCHEMA.read_text(encoding="utf-8"))
    assert [error.message for error in Draft202012Validator(schema).iter_errors(made)] == []
    assert made == translated(chart, labels, "de")
