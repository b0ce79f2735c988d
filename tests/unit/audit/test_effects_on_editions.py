"""What a swap does to a comparison of editions: indices, grades of terms, correspondence."""

import json
import re

import pytest
import yaml
from felloe.audit import pair_reading, pair_words
from felloe.audit.comparison import compare_folders, compare_results
from felloe.audit.page import page_of_runs
from felloe.audit.pair_effects import INDICES
from felloe.audit.screen import screen_of_runs
from felloe.editions.correspondence import GRADES, MERGED, NONE, SPLIT, STAYED
from felloe.editions.tables import TERMS
from felloe.editions.verdict import ALIKE, BARELY
from felloe.errors import SCREEN_LINES
from felloe.settings import PROJECT
from felloe.timeline.follow import MOVES
from felloe.timeline.tables import TIMELINE
from unit.editions.test_edition_verdict import rand

PAIR = "jars-2016--jars-2026"
NOISES = [key for key in INDICES if key.startswith("noise.")]
ROWS = {
    "dill": ("kept", "none", "stayed", "Herbs", "Herbs"),
    "garlic": ("kept", "robust", "moved", "Bite", "Herbs"),
    "mint": ("kept", "none", "split", "Herbs", "Fresh"),
    "rye": ("new", "none", "", "", "Grain"),
}


def record(adjusted_rand=0.5, found=True, robust=1, **further):
    return {
        "tiers": {"published": {"class": {"adjusted_rand": adjusted_rand, "n_older": 8}}},
        "correspondence": {"found": found, "p": 0.0001},
        "migrations": {"robust": robust},
        **further,
    }


def write_pair(folder, compared=None, rows=ROWS, linkage=None):
    """Write a comparison as one run has it; `linkage` is that of the older study alone."""
    folder = folder / "results" / "editions" / PAIR
    folder.mkdir(parents=True)
    (folder / "comparison.json").write_text(json.dumps(compared or record()), encoding="utf-8")
    names = ["term", "change", "migration", "relation", "class_name_older", "class_name_newer",
             "term_older", "label"]  # fmt: skip
    lines = [
        ",".join([term, *values, "" if values[0] == "new" else term, term.title()])
        for term, values in rows.items()
    ]
    (folder / "terms.csv").write_text("\n".join([",".join(names), *lines, ""]), encoding="utf-8")
    config = {"clustering": {"linkage": "average"}}
    if linkage:
        config["per_study"] = {"jars-2016": {"clustering": {"linkage": linkage}}}
    manifest = {"older": "jars-2016", "newer": "jars-2026", "config": config}
    (folder / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")
    return folder


@pytest.fixture
def compared(tmp_path):
    def compare(**now):
        return compare_folders(write_pair(tmp_path / "a"), write_pair(tmp_path / "b", **now))

    return compare


def lines_of(found):
    return [line.strip() for line in screen_of_runs([found], ("results", "try x")).splitlines()]


def page_text(found):
    page = page_of_runs([found], ("results", "try x"))
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_an_index_that_changes_is_told_with_both_values_and_the_difference(compared):
    found = compared(compared=record(adjusted_rand=0.25))
    assert [(one.key, one.was, one.now) for one in found.pair.indices] == [
        ("tiers.published.class.adjusted_rand", 0.5, 0.25)
    ]
    assert "adjusted Rand index of the classes: 0.500 -> 0.250 (-0.25)" in lines_of(found)
    assert "adjusted Rand index of the classes 0.500 0.250 -0.25" in page_text(found)


def test_values_that_differ_in_later_places_are_not_shown_as_equal(compared):
    found = compared(compared=record(adjusted_rand=0.50001))
    assert "adjusted Rand index of the classes: 0.5 -> 0.50001 (+1e-05)" in lines_of(found)


def test_terms_split_and_merged_and_moves_by_kind_are_told(compared):
    terms = {"split": 1, "split_into": 2, "merged": 3, "merged_into": 1, "retired": 4}
    found = compared(compared=record(terms=terms, migrations={"robust": 1, "moved": 5}))
    lines = lines_of(found)
    assert "terms in another class, however sure: \N{EN DASH} -> 5" in lines
    told = {one.key: one.now for one in found.pair.indices}
    assert told == {f"terms.{key}": number for key, number in terms.items()} | {
        "migrations.moved": 5
    }
    text = page_text(found)
    assert "older terms that were split \N{EN DASH} 1" in text
    assert "older terms that were merged \N{EN DASH} 3" in text


def test_what_halves_of_one_study_show_is_told_where_it_changes(compared):
    def halves(median):
        spread = {"class": {"adjusted_rand": {"median": median}}}
        return {"older": {"tiers": {"data_only": spread}}, "newer": None}

    found = compared(compared=record(noise=halves(0.75)))
    assert "adjusted Rand index of two halves of the older study: \N{EN DASH} -> 0.750" in lines_of(
        found
    )


def test_a_sentence_of_the_verdict_that_changes_is_told_as_it_stands_in_both(tmp_path):
    folders = [
        write_pair(tmp_path / f"judged-{index}", rand(index)) for index in (ALIKE + 0.1, BARELY)
    ]
    found = compare_folders(*folders)
    lines = " ".join(lines_of(found))
    said = "the verdict on structure is another one in try x: The classes of 2026 are not those of"
    assert said in lines
    assert "Structure The classes of 2026 are by and large those of 2016" in page_text(found)
    assert {one.about for one in found.pair.verdicts} == {"Structure"}


def test_a_sentence_with_other_numbers_alone_stands_on_the_page_alone(tmp_path):
    moves = {"robust": 2, "possible": 0, "noise": 0, "none": 58}
    folders = [
        write_pair(tmp_path / run, rand(0.9, migrations={**moves, "robust": robust}))
        for run, robust in (("a", 2), ("b", 3))
    ]
    found = compare_folders(*folders)
    assert [one.about for one in found.pair.verdicts] == ["Vocabulary"]
    assert "3 of the 60 words in both made a robust move" in page_text(found)
    lines = lines_of(found)
    assert not any("verdict" in line for line in lines)
    assert "robust moves: 2 -> 3 (+1)" in lines


def test_a_verdict_that_one_run_alone_tells_is_told(tmp_path):
    now = write_pair(tmp_path / "b")  # of an older version, say
    found = compare_folders(write_pair(tmp_path / "a", rand(0.9)), now)
    assert "the verdict on structure is another one in try x: nothing" in lines_of(found)
    assert len(found.pair.verdicts) == 3


def test_a_term_whose_grade_changes_is_told_with_its_classes_in_both_editions(compared):
    garlic = ("kept", "possible", "moved", "Bite", "Leaves")
    found = compared(rows={**ROWS, "garlic": garlic})
    (grade,) = found.pair.grades
    assert (grade.label, grade.was.code, grade.now.code) == ("Garlic", "robust", "possible")
    assert "1 term, robust move -> possible move: Garlic" in lines_of(found)
    assert "Garlic robust move (Bite / Herbs) possible move (Bite / Leaves)" in page_text(found)


def test_a_term_that_stayed_and_now_moves_is_told(compared):
    found = compared(rows={**ROWS, "mint": ("kept", "noise", "moved", "Herbs", "Bite")})
    assert "1 term, went with a part of its class -> move that may be noise: Mint" in lines_of(
        found
    )


def test_a_swap_that_breaks_the_correspondence_says_so_first(compared):
    lost = {
        term: (change, "no_correspondence", "no_correspondence", *names)
        for term, (change, _, relation, *names) in ROWS.items()
        if relation
    }
    found = compared(compared=record(0.01, False, 0), rows={**ROWS, **lost})
    lines = lines_of(found)
    told = next(i for i, line in enumerate(lines) if line.startswith("the swap breaks"))
    assert told < next(i for i, line in enumerate(lines) if line.startswith("indices that change"))
    assert "in try x classes correspond no better than chance" in lines[told]
    assert "classes correspond better than chance: yes -> no" in lines
    assert "1 term, stayed -> class without correspondence: Dill" in lines
    assert "The swap breaks the correspondence" in page_text(found)


def test_a_swap_that_finds_a_correspondence_says_so(tmp_path):
    was = write_pair(tmp_path / "a", record(found=False))
    found = compare_folders(was, write_pair(tmp_path / "b"))
    assert "classes correspond better than chance in try x, and did not in results" in lines_of(
        found
    )


def test_a_swap_that_changes_nothing_of_the_comparison_says_so(compared):
    found = compared(linkage="complete")
    assert not found.same  # the manifests differ
    lines = lines_of(found)
    assert "no index of the comparison changes (5 are compared)" in lines
    assert "no term's grade changes (4 are compared)" in lines
    assert "No index of the comparison changes (5 are compared)." in page_text(found)


def test_what_was_set_for_one_study_alone_is_named(compared):
    lines = lines_of(compared(linkage="complete"))
    assert any("per_study.jars-2016.clustering.linkage" in line for line in lines)


def test_terms_of_one_run_only_are_told(compared):
    found = compared(rows={term: row for term, row in ROWS.items() if term != "mint"})
    assert found.pair.terms_was == ("Mint",)
    assert "1 term only in results: Mint" in lines_of(found)


def test_a_term_that_was_split_has_a_row_for_each_of_its_parts(tmp_path):
    parts = ["nut,split,none,,Nuts,Nuts,nut,Nut", "nuts,split,none,,Nuts,Sweet,nut,Nuts"]
    folders = [write_pair(tmp_path / run) for run in "ab"]
    for folder, last in zip(folders, ("nuts", "kernel"), strict=True):
        text = (folder / "terms.csv").read_text(encoding="utf-8")
        lines = [parts[0], parts[1].replace("nuts", last, 1)]
        (folder / "terms.csv").write_text(text + "\n".join([*lines, ""]), encoding="utf-8")
    found = compare_folders(*folders).pair
    assert found.n_terms == len(ROWS) + 1
    assert (len(found.terms_was), len(found.terms_now)) == (1, 1)
    assert found.grades == ()


@pytest.mark.parametrize("name", ["comparison.json", "terms.csv"])
@pytest.mark.parametrize("text", [None, "{", "a,b\n1\n", '"'])
def test_what_can_not_be_read_is_said_and_stops_nothing(name, text, tmp_path):
    was, now = write_pair(tmp_path / "a"), write_pair(tmp_path / "b")
    (now / name).unlink()
    if text is not None:
        (now / name).write_text(text, encoding="utf-8")
    found = compare_folders(was, now)
    assert found.pair.unread == (f"now: {name}",)
    assert f"could not be read: now: {name}" in lines_of(found)
    assert f"now: {name}" in page_text(found)


def write_timeline(folder, paths, moved):
    """Write a timeline that stands in a folder of its own; `paths` have a surest move and moves."""
    folder.mkdir(parents=True)
    rows = [f"{path},{path.title()},{surest},{moves}" for path, (surest, moves) in paths.items()]
    (folder / "timeline.csv").write_text("\n".join(["path,label,surest,moves", *rows, ""]))
    (folder / "timeline.json").write_text(json.dumps({"paths": {"moved": moved}}))
    return folder


def test_terms_that_move_otherwise_through_all_editions_are_told(tmp_path):
    was = {"dill": ("", 0), "mint": ("robust", 1), "rye": ("noise", 1), "leek": ("robust", 1)}
    now = {**was, "dill": ("possible", 1), "mint": ("", 0), "leek": ("robust", 2)}
    folders = [
        write_timeline(tmp_path / run / "jars-2006--jars-2026", paths, moved)
        for run, paths, moved in (("a", was, 3), ("b", now, 4))
    ]
    found = compare_folders(*folders)
    lines = lines_of(found)
    assert "paths with a move, however sure: 3 -> 4 (+1)" in lines
    assert "1 term, no move on the way -> possible move on the way: Dill" in lines
    assert "1 term, robust move on the way -> no move on the way: Mint" in lines
    assert "1 term, robust move on the way -> robust move on the way: Leek" in lines
    assert not any("Rye" in line for line in lines)
    text = page_text(found)
    assert "Terms that move otherwise through all editions (3 of 4 paths)" in text
    assert "Mint robust move on the way no move on the way" in text


def test_a_timeline_that_stays_as_it_is_says_so(tmp_path):
    paths = {"dill": ("", 0)}
    folders = [write_timeline(tmp_path / run / "a--c", paths, 0) for run in "ab"]
    (folders[1] / "timeline.html").write_text("another page")
    found = compare_folders(*folders)
    assert "no term moves otherwise through all editions (1 path is compared)" in lines_of(found)
    assert found.pair.unread == ()


def test_a_folder_without_a_comparison_tells_nothing_of_one(tmp_path):
    folders = [write_pair(tmp_path / run) for run in "ab"]
    for folder in folders:
        (folder / "comparison.json").unlink()
    assert compare_folders(*folders).pair is None


def test_many_changes_stay_one_screen(tmp_path):
    further = {
        "mantel": {"pearson": {"r": 0.1}, "spearman": {"r": 0.1}},
        "trees": {"bakers_gamma": 0.1, "cophenetic_correlation": 0.1, "robinson_foulds_share": 0.1},
        "corrected_r": {"corrected": 0.1, "low": 0.1, "high": 0.1},
        "order": {"uniform_margins": 0.1},
        "maps": {"procrustes_m2": 0.1},
    }
    grades = [grade for grade in GRADES if grade != NONE]
    rows = [
        {f"t{i}": ("kept", grades[(i + run) % 4], "moved", "A", "B") for i in range(200)}
        for run in range(2)
    ]
    write_pair(tmp_path / "a", record(), rows[0])
    write_pair(tmp_path / "b", record(0.1, False, 0, **further), rows[1])
    found = compare_results(tmp_path / "a/results", tmp_path / "b/results")
    lines = screen_of_runs(found).splitlines()
    assert len(lines) <= SCREEN_LINES
    assert any("more" in line for line in lines)
    assert len(found[-1].pair.grades) == 200


def test_every_index_and_every_standing_has_its_words():
    assert set(INDICES) == set(pair_words.INDICES)
    assert {STAYED, SPLIT, MERGED, *GRADES} - {NONE} <= set(pair_words.STANDINGS)
    assert {f"path_{grade}" for grade in (*MOVES, "")} <= set(pair_words.STANDINGS)
    assert set(pair_reading.NEEDED) <= set(TERMS.names)
    assert {"path", *pair_reading.PATH_NEEDED} <= set(TIMELINE.names)


def schema_of(name):
    path = PROJECT / f"workflow/schemas/records/{name}.schema.yaml"
    return yaml.safe_load(path.read_text(encoding="utf-8"))


def test_every_index_is_a_value_of_its_record():
    asked = [*INDICES, *(key.partition("r.")[2].removesuffix(".median") for key in NOISES)]
    schemas = {
        "comparison": schema_of("editions.comparison"),
        "timeline": schema_of("timeline.timeline"),
    }
    for key in asked:
        schema = schemas["timeline" if key.startswith("timeline.") else "comparison"]
        place = schema
        for name in key.removeprefix("timeline.").split("."):
            while "$ref" in place:
                place = schema["$defs"][place["$ref"].rpartition("/")[2]]
            anything = place.get("additionalProperties") or None
            place = place.get("properties", {}).get(name, anything)
            assert place is not None, key


def test_what_halves_show_is_told_of_either_study():
    assert {key.replace("older", "newer") for key in NOISES if "older" in key} == {
        key for key in NOISES if "newer" in key
    }
