"""The report: told from files, and only from files."""

import html
import itertools
import re

import pytest
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import read_rows
from felloe.report.catalogue import table_of
from felloe.report.telling.evidence import Evidence
from report_example import change_record, copied, parsed, rewrite, set_cells, told, words_of


@pytest.fixture
def study(small_results, tmp_path):
    """A copy of a whole study's tables and records, its drawings left out."""
    return copied(small_results, tmp_path)


def resolve(folder, title):
    """Look a quoted place up by hand: file, then key of a record or cell of a table."""
    name, key = title.split(": ", 1)
    if name.endswith(".json"):
        found = read_json(folder / name)
        for part in key.split("."):
            found = found[int(part)] if isinstance(found, list) else found[part]
        return str(found)
    header, cells = read_rows(folder / name)
    rows = [dict(zip(header, row, strict=True)) for row in cells]
    if key.startswith("different values of "):
        return str(len({row[key.removeprefix("different values of ")] for row in rows}))
    if key.startswith("rows"):
        wanted = [part.split(" = ") for part in key.removeprefix("rows with ").split(" and ")]
        wanted = [] if key == "rows" else wanted
        return str(sum(all(row[left] == right for left, right in wanted) for row in rows))
    column, *where = key.split(", ")
    wanted = [part.split(" = ") for part in where]
    cells = [row[column] for row in rows if all(row[left] == right for left, right in wanted)]
    return cells[0] if len(cells) == 1 else f"{len(cells)} cells"


def test_every_number_stands_in_the_file_it_names(study):
    numbers = parsed(told(study)).numbers
    assert len(numbers) > 20
    wrong = [(title, value) for title, value in numbers if resolve(study, title) != value]
    assert wrong == []


def test_a_number_is_rounded_for_the_eye_and_kept_in_full(study):
    set_cells(
        study,
        "clustering/linkages.csv",
        {"linkage": "average"},
        cophenetic_correlation=0.87654321,
    )
    place = 'title="clustering/linkages.csv: cophenetic_correlation, linkage = average"'
    assert f'<data value="0.87654321" {place}>0.877</data>' in told(study)


def test_the_instruction_is_printed_word_for_word(study):
    instruction = "Put <b>like</b> & like together, as you 'taste'."
    change_record(study, "validation/study.json", instruction=instruction)
    text = told(study)
    assert "Put <b>" not in text
    shown = re.search("<blockquote><p>(.*?)</p></blockquote>", text).group(1)
    assert html.unescape(shown) == "Put <b>like</b> & like together, as you 'taste'."


def test_definitions_on_the_cards_are_told(study):
    assert "showed definitions" not in told(study)
    kit = {"definitions": True, "colours_per_person": 30}
    assert "The cards showed definitions" in words_of(told(study, kit=kit))


def test_a_label_of_html_can_not_run(study):
    set_cells(study, "validation/terms.csv", {"term": "ash"}, label="<script>alert(1)</script>")
    text = told(study)
    assert "<script" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text


def test_nothing_is_loaded_from_anywhere(study):
    (study / "figures").mkdir()
    (study / "figures" / "matrix.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    loaded = parsed(told(study)).loaded
    assert loaded
    assert all(address.startswith("data:image/") for address in loaded)


def test_every_figure_has_a_text_in_its_place(study):
    (study / "figures").mkdir()
    for name in ("matrix", "dendrogram", "wheel"):
        (study / "figures" / f"{name}.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    images = parsed(told(study)).images
    assert [len(image["alt"]) > 20 for image in images] == [True] * 3


def test_headings_go_down_one_step_at_a_time(study):
    levels = parsed(told(study)).headings
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert max(b - a for a, b in itertools.pairwise(levels)) == 1


def test_terms_that_depend_on_ties_are_named(study):
    rewrite(
        study,
        "clustering/ties.csv",
        lambda rows: [
            {**row, "class_depends_on_tie_break": 0.25 if row["term"] == "ash" else 0.0}
            for row in rows
        ],
    )
    text = told(study)
    table = text[text.index("Terms whose class depends on the breaking of ties") :]
    assert re.search("Ash wood.*?25\u202f%", table[: table.index("</table>")], re.DOTALL)
    assert "Elm" not in table[: table.index("</table>")]


def test_a_warning_about_the_map_is_printed_in_words(study):
    change_record(study, "circle/map.json", warnings=["directions"])
    assert "Do not place classes by their direction on the map." in told(study)


def test_cautions_for_tasting_and_for_data_are_there(study):
    text = told(study).lower()
    needed = (
        "allergens, food grade, smell only, dose, hygiene, expectorate, disposal, local food law"
    )
    needed += ", consent, pseudonym, data-protection, ethics review"
    assert [word for word in needed.split(", ") if word not in text] == []


def test_the_report_tells_nothing_of_the_machine(study):
    assert str(study) not in told(study)


def test_a_file_that_was_not_handed_over_is_not_told(study):
    paths = [path for path in study.rglob("*.*") if "order" not in path.name]
    evidence = Evidence(study, paths, table_of)
    assert (study / "circle/order.json").exists()
    assert not evidence.has("circle/order.json")
    assert evidence.select("circle/order.csv") == []


def test_asking_for_what_is_not_there_is_an_error(study):
    evidence = Evidence(study, [study / "clustering/ties.json"], table_of)
    with pytest.raises(ValueError, match="holds nothing under 'trees'"):
        evidence.value("clustering/ties.json", "trees")


def test_one_thing_is_not_told_in_the_plural(study):
    text = re.sub("<[^>]*>", "", told(study))
    assert "1 doubtful" in text or "1 term" in text
    assert not re.search(r"\b1 (participants|terms|warnings|notes|forms)\b", text)


@pytest.mark.parametrize(("picks", "said"), [(0, True), (3, False)])
def test_colours_that_nobody_picked_are_called_a_design_choice(study, picks, said):
    set_cells(study, "circle/colours.csv", {}, n_picks=picks)
    assert ("a design choice" in told(study)) == said


def test_a_doubtful_term_has_its_reason_and_its_missing_rival_is_explained(study):
    elm = {"term": "elm"}
    told_of = {"status": "doubtful", "rival_class": "", "rival_probability": 0.0}
    set_cells(study, "tiers/published.csv", elm, **told_of)
    asked = {"number": 1, "kind": "term", "tier": "term", "subject": "elm", "class": "ash"}
    why = {"reason": "below_firm;weak_class"}
    rewrite(study, "tiers/questions.csv", lambda _: [{**asked, **why}])
    text = told(study)
    table = text[text.index("Terms to decide on") :]
    row = re.search("Elm.*?</tr>", table).group(0)
    assert re.search(
        "probability below 0.75; its class is too small.*spread over several classes or none", row
    )


def test_terms_that_became_names_of_groups_are_counted_and_named(study):
    set_cells(study, "tiers/published.csv", {}, absorbed=False)
    set_cells(study, "tiers/published.csv", {"term": "elm"}, absorbed=True)
    text = words_of(told(study))
    assert "12 terms (1 of them is the name of a group and not on the outer ring)" in text
    assert "sector of its own on the outer ring: Elm." in text


def test_weak_neighbours_are_named(study):
    names = ("class", "other_class", "support", "neighbours")
    rows = [("ash", "beet", 0.49, True), ("beet", "ash", 0.5, True), ("x", "y", 0.1, False)]
    rewrite(study, "circle/adjacency.csv", lambda _: [dict(zip(names, row)) for row in rows])
    assert "do not read as kin: Trees and Roots (49\u202f%)." in words_of(told(study))


@pytest.mark.parametrize(
    ("reliability", "said"), [(0.95, "Target reached."), (0.94, "Target not reached.")]
)
def test_whether_the_target_is_reached_is_said_first(study, reliability, said):
    name = "validation/stability.json"
    plans = read_json(study / name)["plans"]
    told_of = [{**plan, "target": 0.95, "reliability": reliability} for plan in plans]
    change_record(study, name, plans=told_of)
    text = words_of(told(study))
    assert f"{said} All participants: as many other people as these 16" in text
    assert f"\n{said} Trained panel: as many other people as these 8" in text


def test_a_lexicon_without_definitions_is_a_list_without_empty_columns(study):
    set_cells(study, "validation/terms.csv", {}, reference="", caution="")
    assert "Lexicon of this edition <span" in told(study)
    set_cells(study, "validation/terms.csv", {}, definition="")
    text = told(study)
    assert "Lexicon of this edition <span" not in text
    listed = re.search('<ul class="labels">(.*?)</ul>', text, re.DOTALL)[1]
    labels = [html.escape(row["label"]) for row in table_of("validation/terms.csv").read(
        study / "validation/terms.csv")]  # fmt: skip
    assert re.findall("<li>(.*?)</li>", listed) == labels


def draw(folder, name, first):
    """Write a drawing of which only the first element counts."""
    (folder / "figures").mkdir(exist_ok=True)
    (folder / f"figures/{name}.svg").write_text(f"{first}<title>t</title></svg>", encoding="utf-8")


def test_a_wheel_without_words_is_told(study):
    said = "The terms are too many to be written on it, at A0 too"
    draw(study, "wheel", '<svg viewBox="0 0 297 420">')
    assert said not in told(study)
    assert 'alt="The chart: the tree of the terms in the middle, the terms around it' in told(study)
    draw(study, "wheel", '<svg class="unworded" viewBox="0 0 297 420">')
    text = told(study)
    assert f'{said}; <a href="wheel.html">' in text
    assert "the terms around it" not in text


def test_a_drawing_too_tall_for_a_page_names_the_file_that_can_be_read(study):
    said = "<code>figures/dendrogram.svg</code> has it in full size"
    draw(study, "dendrogram", '<svg viewBox="0 0 300 599.5">')
    assert said not in told(study)
    draw(study, "dendrogram", '<svg viewBox="0 0 300 601">')
    assert said in told(study)


def test_the_command_to_rebuild_names_settings_and_folder(study):
    command = "python3 scripts/run --configfile SETTINGS.yaml --directory FOLDER results/guild/"
    assert command + "manifest.json" in told(study)


def test_measures_of_granularity_are_told_in_words(study):
    text = told(study)
    assert "n_piles" not in text[text.index('id="sorting"') : text.index('id="compared"')]


def test_who_was_left_out_is_told_as_counts_and_reasons_and_by_no_id(study):
    text = told(study)
    assert "Trained panel: fewer than 3; why is not told" in words_of(text)
    assert "somebody-" not in text


def test_what_is_not_translated_is_told(study):
    text = " ".join(words_of(told(study)).split())
    start = text.index("In other languages")
    section = text[start : text.index("Cautions", start)]
    assert "own language, en;" in section
    # of the small study five terms and two classes are worded in German
    assert "de: 5 of 12 terms have a label." in section
    assert re.search(r"Not translated: .*\bElm\b.*\bKale\b", section)
    assert not re.search(r"\b(Oak|Eiche|Bäume|Trees)\b", section)
    assert "Some definitions, references and cautions are not either" in section


def test_a_study_in_one_language_says_nothing_of_others(study):
    (study / "report" / "chart.de.json").unlink()
    assert "In other languages" not in words_of(told(study))


def test_a_language_without_interface_words_is_told(study):
    (study / "report" / "chart.de.json").rename(study / "report" / "chart.fr.json")
    change_record(study, "report/chart.fr.json", language="fr")
    assert "Buttons and headings are in 'en'." in words_of(told(study)).replace("\n", " ")
