"""What a user's settings may say, and what they are told when it is wrong."""

import pytest
import yaml
from felloe.errors import StudyError
from felloe.settings import DEFAULTS, read_yaml, resolve
from felloe.settings_merged import merged


@pytest.fixture
def study(tmp_path, monkeypatch):
    (tmp_path / "mine").mkdir()
    monkeypatch.chdir(tmp_path)
    return {"mine": "mine"}


def test_a_users_file_inherits_what_it_does_not_name(study):
    settings = resolve({"studies": study, "clustering": {"linkage": "ward"}})
    defaults = yaml.safe_load(DEFAULTS.read_text(encoding="utf-8"))
    assert settings["clustering"]["linkage"] == "ward"
    assert settings["clustering"]["tie_orders"] == defaults["clustering"]["tie_orders"]
    assert settings["seed"] == defaults["seed"]


def test_a_users_studies_replace_the_demos_and_their_editions(study):
    settings = resolve({"studies": study})
    assert settings["studies"] == study
    assert settings["editions"] == []


def test_the_demo_studies_are_found_from_any_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    folders = resolve({})["studies"]
    assert all((tmp_path / folder / "study.yaml").is_file() for folder in folders.values())


def refusal(overrides):
    with pytest.raises(StudyError) as caught:
        resolve(overrides, "mine.yaml")
    return str(caught.value)


def test_an_unknown_key_is_named_with_the_nearest_known_one(study):
    message = refusal({"studies": study, "clustering": {"linkages": "ward"}})
    assert "'linkages'" in message
    assert "did you mean 'linkage'" in message.lower()


def test_every_fault_of_the_settings_is_told_at_once(study):
    message = refusal(
        {"studies": study, "sed": 4, "bootstrap": {"replicates": 3}, "tiers": {"classes": "many"}}
    )
    assert "'sed'" in message
    assert "bootstrap.replicates" in message
    assert "tiers.classes" in message


@pytest.mark.parametrize("linkage", ["centroid", "median", "Average"])
def test_a_linkage_that_is_not_offered_is_refused(study, linkage):
    assert linkage in refusal({"studies": study, "clustering": {"linkage": linkage}})


@pytest.mark.parametrize("key", ["disagreement", "agreement_with_others", "outliers", "dissent"])
def test_a_rule_that_would_leave_out_those_who_disagree_is_refused_with_the_reason(study, key):
    message = refusal({"studies": study, "screening": {key: True}})
    assert "never left out for disagreeing" in message
    assert "manufactures" in message


def test_a_font_that_is_in_no_studys_folder_is_named(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine").mkdir()
    own = {"studies": {"mine": "mine"}, "wheel": {"fonts": ["Thai.ttf"]}}
    with pytest.raises(StudyError, match=r"wheel.fonts.*'Thai.ttf': is in no study's folder"):
        resolve(own)
    (tmp_path / "mine" / "Thai.ttf").write_bytes(b"")
    assert resolve(own)["wheel"]["fonts"] == ["Thai.ttf"]


def test_a_missing_study_folder_is_named(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    message = refusal({"studies": {"mine": "not/there"}})
    assert "not/there" in message
    assert "missing" in message


@pytest.mark.parametrize("name", ["Mine", "my study", "../up", "-x", "", "x" * 65])
def test_a_study_name_cannot_leave_the_results_folder(study, name):
    assert "studies" in refusal({"studies": {name: "mine"}})


@pytest.mark.parametrize("name", ["pooled", "editions"])
def test_a_reserved_study_name_is_refused(study, name):
    assert "reserved" in refusal({"studies": {name: "mine"}})


def test_editions_must_name_studies(study):
    message = refusal({"studies": study, "editions": [["mine", "mien"]]})
    assert "mien" in message
    assert "mine" in message


@pytest.mark.parametrize(
    ("pairs", "part"),
    [
        ([["mine", "yours"], ["yours", "mine"]], "older than itself"),
        ([["mine", "mine"]], "compared with itself"),
    ],
)
def test_editions_have_one_direction(study, tmp_path, pairs, part):
    (tmp_path / "yours").mkdir()
    study["yours"] = "yours"
    assert part in refusal({"studies": study, "editions": pairs})


def refused_pairs(names, pairs):
    """Return the lines that refuse these pairs of editions; every study has the same folder."""
    return refusal({"studies": dict.fromkeys(names, "mine"), "editions": pairs}).splitlines()


def test_two_pairs_of_editions_that_share_a_path_are_refused(study):
    # [a, b--c] and [a--b, c] would both be written to results/editions/a--b--c
    (told,) = refused_pairs(["a", "b--c", "a--b", "c"], [["a", "b--c"], ["a--b", "c"]])
    assert "'editions.0': '[a, b--c]'" in told
    assert "results/editions/a--b--c with [a--b, c]" in told
    assert "Rename" in told


def test_a_pair_whose_path_could_be_that_of_other_studies_is_refused(study):
    # the engine takes the names apart by the studies that it knows, compared or not
    (told,) = refused_pairs(["a--b", "c", "a", "b--c"], [["a", "b--c"]])
    assert "could be that of [a--b, c]" in told


def test_dashes_between_two_studies_are_read_in_every_way(study):
    (told,) = refused_pairs(["a-", "b", "a", "b-c", "a--b", "c"], [["a--b", "c"], ["a", "b--c"]])[
        :1
    ]
    assert "b--c" in told
    assert len(refused_pairs(["a-", "a", "b", "a---b"], [["a-", "b"], ["a-", "b"]])) == 1


def test_a_pair_that_stands_twice_is_refused(study):
    (told,) = refused_pairs(["a", "b"], [["a", "b"], ["a", "b"]])
    assert "'editions.1': '[a, b]': the pair stands twice" in told


def test_a_list_of_three_studies_is_taken_and_may_stand_beside_the_pair_of_its_ends(study):
    names = dict.fromkeys(["a", "b", "c"], "mine")
    lists = [["a", "b", "c"], ["a", "c"], ["a", "b"]]
    assert resolve({"studies": names, "editions": lists})["editions"] == lists


def test_a_study_that_stands_twice_in_a_list_is_refused(study):
    (told,) = refused_pairs(["a", "b"], [["a", "b", "a"]])
    assert "'editions.0': 'a': stands twice in the list" in told


def test_two_lists_from_the_same_first_to_the_same_last_study_are_refused(study):
    (told,) = refused_pairs(["a", "b", "c", "d"], [["a", "b", "d"], ["a", "c", "d"]])
    assert "'editions.1'" in told
    assert "results/editions/a--d/timeline.csv with [a, b, d]" in told


def test_a_list_that_stands_twice_is_refused(study):
    (told,) = refused_pairs(["a", "b", "c"], [["a", "b", "c"], ["a", "b", "c"]])
    assert "the list stands twice" in told


def test_a_timeline_whose_folder_could_be_a_pairs_is_refused(study):
    # [a, x, b--c] would be told in results/editions/a--b--c, which is that of [a--b, c]
    names, lists = ["a", "x", "b--c", "a--b", "c"], [["a--b", "c"], ["a", "x", "b--c"]]
    (told,) = refused_pairs(names, lists)
    assert "'editions.0'" in told
    assert "would share results/editions/a--b--c with [a, b--c]" in told


@pytest.mark.parametrize(
    "lists",
    [
        [["a", "b", "c"], ["c", "a"]],
        [["a", "b"], ["b", "c", "d"], ["d", "a"]],
        [["a", "c"], ["b", "c"], ["c", "b"]],  # not along the first older edition of each
    ],
)
def test_lists_that_go_round_are_refused_once(study, lists):
    (told,) = refused_pairs(["a", "b", "c", "d"], lists)
    assert "would be older than itself" in told


def test_an_empty_list_or_one_study_is_refused(study):
    for value in ([], ["mine"]):
        assert "editions.0" in refusal({"studies": study, "editions": [value]})


def test_a_name_with_two_dashes_is_no_fault_where_its_path_is_read_in_one_way(study):
    names = dict.fromkeys(["a--b", "c", "d"], "mine")
    pairs = [["a--b", "c"], ["c", "d"]]
    assert resolve({"studies": names, "editions": pairs})["editions"] == pairs


@pytest.mark.parametrize(
    ("value", "part"),
    [(2026, "'2026': it is then a name"), (False, "no, on, off"), (20.5, "'20.5': it is then")],
)
def test_a_number_or_truth_value_in_place_of_a_name_is_told_to_need_quotes(study, value, part):
    message = refusal({"studies": study, "editions": [["mine", value]]})
    assert "editions.0.1" in message
    assert "quotes" in message
    assert part in message


@pytest.mark.parametrize(
    "overrides",
    [
        {"seed": "x" * 5000},
        {"seed": list(range(5000))},
        {"x" * 5000: 1},
        {"studies": {"x" * 5000: 7}},
        {"comparison": {"chart_population": {"x" * 5000: {}}}},
        {"tiers": {"branch_cuts": [{"x" * 5000: 1}]}},
    ],
)
def test_a_huge_value_is_told_in_a_few_short_lines(study, overrides):
    lines = refusal({"studies": study, **overrides}).splitlines()
    assert len(lines) <= 4
    assert all(len(line) < 500 for line in lines)


def test_a_value_that_is_refused_is_shown_once(study):
    message = refusal({"studies": study, "clustering": {"linkage": "centroid"}})
    assert message.count("'centroid'") == 1


@pytest.mark.parametrize(
    "value",
    [float("nan"), float("inf"), float("-inf"), 16**5000],
    ids=["nan", "inf", "-inf", "an integer of 6,021 digits"],
)
def test_a_number_without_bounds_is_refused_wherever_it_came_from(study, value):
    # the bounds of the schema let nan pass, and Snakemake's --config goes past the strict reader
    assert "circle.class_gap" in refusal({"studies": study, "circle": {"class_gap": value}})


@pytest.mark.parametrize("limits", [[9, 6], [1, 4]])
def test_a_range_that_is_none_is_refused(study, limits):
    assert "classes_range" in refusal({"studies": study, "tiers": {"classes_range": limits}})


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("seed: 1\nseed: 2\n", "stands twice"),
        ("seed: [1\n", "line"),
        ("- a\n- b\n", "no keys"),
        ("", "no keys"),
    ],
)
def test_a_file_that_is_no_settings_file_is_refused(tmp_path, text, part):
    path = tmp_path / "mine.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(StudyError, match=part):
        read_yaml(path, "mine.yaml")


def test_a_settings_file_that_is_not_utf8_is_refused(tmp_path):
    path = tmp_path / "mine.yaml"
    path.write_bytes("title: Gärung\n".encode("latin-1"))
    with pytest.raises(StudyError, match="UTF-8"):
        read_yaml(path)


def test_merging_changes_neither_side():
    defaults, mine = {"a": {"b": 1, "c": 2}}, {"a": {"b": 3}}
    assert merged(defaults, mine) == {"a": {"b": 3, "c": 2}}
    assert (defaults, mine) == ({"a": {"b": 1, "c": 2}}, {"a": {"b": 3}})


def test_every_setting_is_commented_or_stands_in_a_commented_block():
    # a choice without its reason cannot be defended later
    lines = DEFAULTS.read_text(encoding="utf-8").splitlines()
    settings = [line for line in lines if ":" in line and not line.lstrip().startswith(("#", "-"))]
    commented = [line for line in settings if "#" in line]
    assert len(commented) >= 0.6 * len(settings)
