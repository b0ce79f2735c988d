"""The report: told from files, and only from files."""

import html
import itertools
import re
from html.parser import HTMLParser

import numpy as np
import pytest
import yaml
from felloe.ground.records import read_json, write_json
from felloe.ground.tables import read_table
from felloe.report.catalogue import table_of
from felloe.report.evidence import Evidence
from felloe.report.study_report import write_report
from felloe.settings import DEFAULTS
from scipy.stats import binom

PUBLISHED = [
    ["ash", "ash", "ash", "Trees", "Tall", 0.9123456789, "beet", 0.05, "firm", False],
    ["elm", "ash", "ash", "Trees", "Tall", 0.612345678, "beet", 0.3, "doubtful", False],
    ["beet", "beet", "beet", "Roots", "Red", 0.41234567, "ash", 0.4, "undecided", False],
    ["turnip", "beet", "beet", "Roots", "Red", 0.9876543, "ash", 0.0, "firm", False],
]


def write(folder, name, columns, rows):
    """Write a table as it is declared; what a row does not say is absent."""
    table = table_of(name)
    told = (dict.fromkeys(table.names) | dict(zip(columns, row, strict=True)) for row in rows)
    table.write(folder / name, told)


def write_study(folder, title="Words", instruction="Sort what belongs together."):
    """Write the smallest set of results that a report can be told from."""
    about = {"title": title, "edition": "2026", "instruction": instruction}
    write_json(folder / "validation/study.json", {**about, "populations": {"a": "Ones"}})
    terms = [[row[0], row[0].upper(), f"Like {row[0]}.", "A piece.", "None."] for row in PUBLISHED]
    columns = ["term", "label", "definition", "reference", "caution"]
    write(folder, "validation/terms.csv", columns, terms)
    columns = ["participant", "population", "n_piles", "status", "reason"]
    people = [["p1", "a", 3, "kept", None], ["p2", "a", 1, "excluded", "one pile"]]
    write(folder, "validation/participants.csv", columns, people)
    flow = [["a", stage, n] for stage, n in (("received", 2), ("valid", 2), ("analysed", 1))]
    write(folder, "validation/flow.csv", ["population", "stage", "n"], flow)
    write_dossier(folder)
    columns = "term class subclass class_name subclass_name home_probability rival_class".split()
    columns += ["rival_probability", "status", "absorbed"]
    write(folder, "tiers/published.csv", columns, PUBLISHED)
    columns = ["linkage", "cophenetic_correlation", "cophenetic_null_mean"]
    write(folder, "clustering/linkages.csv", columns, [["average", 0.87654321, 0.3456789]])
    write_json(folder / "clustering/ties.json", {"orders": 200, "distinct_trees": 7})
    ties = [["ash", 0.25], ["elm", 0.0]]
    write(folder, "clustering/ties.csv", ["term", "class_depends_on_tie_break"], ties)
    write_json(folder / "circle/map.json", {"stress_1": 0.2345678, "warnings": ["Angles differ."]})


def write_dossier(folder):
    mantel = {"p": 0.0001, "permutations": 9999, "n_terms": 4, "alternative": "greater"}
    criterion = {"question": "Alike?", "comparison": "at least", "margin": 0.9}
    dossier = {
        "verdict": "keep_apart",
        "sentence": "Ones and others are kept apart.",
        "rule": "Ask first.",
        "override": "Pooled because the setting says so, AGAINST the verdict.",
        "criteria": [{"key": "corrected_r", **criterion, "value": 0.7654321, "passed": False}],
        "mantel": {"pearson": {"r": 0.765, **mantel}, "spearman": {"r": 0.5, **mantel}},
    }
    write_json(folder / "comparison/populations.json", dossier)


class Quotes(HTMLParser):
    """Collects the numbers that say where they stand, and every address that is loaded."""

    def __init__(self):
        super().__init__()
        self.numbers, self.loaded, self.images, self.headings = [], [], [], []

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "data":
            self.numbers.append((attrs["title"], attrs["value"]))
        if tag in ("img", "script", "link", "iframe", "object", "video", "source"):
            self.loaded.append(attrs.get("src") or attrs.get("href") or tag)
        if tag == "img":
            self.images.append(attrs)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))


def told(folder, **changes):
    paths = [path for path in folder.rglob("*") if path.suffix in (".csv", ".json", ".svg", ".png")]
    settings = yaml.safe_load(DEFAULTS.read_text(encoding="utf-8"))
    settings.update(changes)
    write_report(folder / "report.html", Evidence(folder, paths, table_of), "guild", settings)
    return (folder / "report.html").read_text(encoding="utf-8")


def parsed(text):
    quotes = Quotes()
    quotes.feed(text)
    return quotes


@pytest.fixture
def study(tmp_path):
    write_study(tmp_path)
    return tmp_path


def resolve(folder, title):
    """Look a quoted place up by hand: file, then key of a record or cell of a table."""
    name, key = title.split(": ", 1)
    if name.endswith(".json"):
        found = read_json(folder / name)
        for part in key.split("."):
            found = found[int(part)] if isinstance(found, list) else found[part]
        return str(found)
    rows = read_table(folder / name)
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
    place = 'title="clustering/linkages.csv: cophenetic_correlation, linkage = average"'
    assert f'<data value="0.87654321" {place}>0.877</data>' in told(study)


def test_the_instruction_is_printed_word_for_word(tmp_path):
    write_study(tmp_path, instruction="Put <b>like</b> & like together, as you 'taste'.")
    text = told(tmp_path)
    assert "Put <b>" not in text
    shown = re.search("<blockquote><p>(.*?)</p></blockquote>", text).group(1)
    assert html.unescape(shown) == "Put <b>like</b> & like together, as you 'taste'."


def test_a_label_of_html_can_not_run(study):
    rows = read_table(study / "validation/terms.csv")
    rows[0]["label"] = "<script>alert(1)</script>"
    write(study, "validation/terms.csv", list(rows[0]), [list(row.values()) for row in rows])
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


def test_the_sentence_on_mantel_never_says_alike(study):
    # METHODS: the wording that a small p allows, and no more.
    text = re.sub("<[^>]*>", "", told(study))
    assert (
        "The two groups' co-occurrence matrices are positively associated (r = 0.765, one-sided "
        "permutation p = 0.0001, 9\u202f999 permutations, 4 terms). This excludes unrelated "
        "structures; it is not evidence that the groups sort identically and is not by itself a "
        "ground for pooling."
    ) in html.unescape(text)


def test_a_large_mantel_p_is_not_called_an_association(study):
    dossier = read_json(study / "comparison/populations.json")
    dossier["mantel"]["pearson"]["p"] = 0.4
    write_json(study / "comparison/populations.json", dossier)
    text = told(study)
    assert "not shown to be associated" in text
    assert "positively associated" not in text


def test_an_override_stands_in_a_warning(study):
    assert re.search(r'class="warning"><strong>Override.</strong> Pooled because', told(study))


def test_a_criterion_that_failed_says_so(study):
    assert re.search(r'Alike\?.*?0\.765.*?0\.90.*?class="fail">not met', told(study))


def test_terms_that_depend_on_ties_are_named(study):
    text = told(study)
    table = text[text.index("Terms whose class depends on the breaking of ties") :]
    assert re.search("ASH.*?25\u202f%", table[: table.index("</table>")], re.DOTALL)
    assert "ELM" not in table[: table.index("</table>")]


def test_a_warning_about_the_map_is_printed_in_words(study):
    assert "Angles differ." in told(study)


@pytest.mark.parametrize(
    "name",
    ["clustering/ties.json", "clustering/linkages.csv", "circle/map.json", "validation/flow.csv"],
)
def test_what_was_not_computed_is_left_out(study, name):
    (study / name).unlink()
    assert name not in told(study)


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
    write_json(study / "circle/order.json", {"length": 123.456})
    paths = [path for path in study.rglob("*.*") if "order" not in path.name]
    settings = yaml.safe_load(DEFAULTS.read_text(encoding="utf-8"))
    write_report(study / "report.html", Evidence(study, paths, table_of), "guild", settings)
    assert "123.456" not in (study / "report.html").read_text(encoding="utf-8")


def test_asking_for_what_is_not_there_is_an_error(study):
    evidence = Evidence(study, [study / "clustering/ties.json"], table_of)
    with pytest.raises(ValueError, match="holds nothing under 'trees'"):
        evidence.value("clustering/ties.json", "trees")


def test_one_thing_is_not_told_in_the_plural(study):
    text = re.sub("<[^>]*>", "", told(study))
    assert "1 participant," in text
    assert not re.search(r"\b1 (participants|terms|warnings|notes|forms)\b", text)


@pytest.mark.parametrize(("picks", "said"), [(0, True), (3, False)])
def test_colours_that_nobody_picked_are_called_a_design_choice(study, picks, said):
    columns = ["tier", "term", "picked", "used", "n_picks"]
    rows = [["class", row[1], None, "#336699", picks] for row in PUBLISHED[::2]]
    write(study, "circle/colours.csv", columns, rows)
    assert ("a design choice" in told(study)) == said


def words_of(text):
    return html.unescape(re.sub("<[^>]*>", "", text))


def change_dossier(study, **changes):
    """Rewrite parts of the dossier that the report is told from."""
    path = study / "comparison/populations.json"
    write_json(path, {**read_json(path), **changes})


def criterion(key, value, margin, passed):
    found = {"question": "Alike?", "comparison": "at least"}
    return {"key": key, **found, "value": value, "margin": margin, "passed": passed}


@pytest.mark.parametrize(
    ("value", "said"), [(0.901, True), (0.899, True), (0.93, False), (0.87, False)]
)
def test_a_bound_near_its_margin_is_called_narrow(study, value, said):
    change_dossier(study, criteria=[criterion("corrected_r", value, 0.9, value >= 0.9)])
    assert ("met, narrowly" in told(study)) == said


def test_changes_of_class_and_of_subclass_are_added_up_in_words(study):
    parts = {"class": {"n_changing": 2, "changing": [], "adjusted_rand": 0.5}}
    parts["subclass"] = {"n_changing": 1, "adjusted_rand": 0.5}
    consequence = {"n_classes": 2, "n_subclasses": 3, **parts}
    change_dossier(study, criteria=[criterion("no_change", 3, 0, False)], consequence=consequence)
    assert "are added up: 3 = 2 + 1." in words_of(told(study))


@pytest.mark.parametrize(("people", "said"), [(19, True), (20, False)])
def test_few_people_are_said_to_give_wide_intervals(study, people, said):
    change_dossier(study, n_people={"a": people})
    assert (f"Ones: {people}) intervals are wide" in words_of(told(study))) == said


def test_the_standard_error_told_for_twenty_people_is_that_of_two_binomial_shares(study):
    # Source: variance p(1 - p)/n of a binomial share (scipy), twice for a difference of two.
    change_dossier(study, n_people={"a": 8})
    quoted = re.search("is already about ([0-9.]+) where", words_of(told(study))).group(1)
    share = binom(20, 0.5).std() / 20
    assert float(quoted) == pytest.approx(np.hypot(share, share), abs=0.005)


def test_a_doubtful_term_has_its_reason_and_its_missing_rival_is_explained(study):
    rows = read_table(study / "tiers/published.csv")
    rows[1].update(rival_class="", rival_probability="0.0")
    write(study, "tiers/published.csv", list(rows[0]), [list(row.values()) for row in rows])
    write(study, "tiers/evidence.csv", ["term", "reason"], [["elm", "class too small"]])
    text = told(study)
    table = text[text.index("Doubtful and undecided terms") :]
    row = re.search("ELM.*?</tr>", table).group(0)
    assert re.search("class too small.*spread over several classes or none", row)


def test_terms_that_became_names_of_groups_are_counted_and_named(study):
    rows = read_table(study / "tiers/published.csv")
    rows[1]["absorbed"] = True
    write(study, "tiers/published.csv", list(rows[0]), [list(row.values()) for row in rows])
    text = words_of(told(study))
    assert "4 terms (1 of them is the name of a group and not on the outer ring)" in text
    assert "sector of its own on the outer ring: ELM." in text


def test_weak_neighbours_are_named(study):
    columns = ["class", "other_class", "support", "neighbours"]
    rows = [["ash", "beet", 0.49, True], ["beet", "ash", 0.5, True], ["x", "y", 0.1, False]]
    write(study, "circle/adjacency.csv", columns, rows)
    assert "do not read as kin: Trees and Roots (49\u202f%)." in words_of(told(study))


@pytest.mark.parametrize(
    ("reliability", "said"), [(0.95, "Target reached."), (0.94, "Target not reached.")]
)
def test_whether_the_target_is_reached_is_said_first(study, reliability, said):
    plan = {"population": "a", "target": 0.95, "reliability": reliability, "sentence": "So many."}
    record = {"answer": "So many. More.", "plans": [plan]}
    write_json(study / "validation/stability.json", record)
    text = words_of(told(study))
    assert f"{said} So many. More." in text
    assert f"\n{said} So many.\n" in text


def test_a_lexicon_without_definitions_shows_no_empty_columns(study):
    terms = [[row[0], row[0], "", "", ""] for row in PUBLISHED]
    columns = ["term", "label", "definition", "reference", "caution"]
    write(study, "validation/terms.csv", columns, terms)
    text = told(study)
    lexicon = text[text.index("Lexicon of this edition") :]
    heads = re.findall('<th scope="col"[^>]*>(.*?)</th>', lexicon[: lexicon.index("</table>")])
    assert heads == ["term"]


def test_the_command_to_rebuild_names_settings_and_folder(study):
    command = "python3 scripts/run --configfile SETTINGS.yaml --directory FOLDER results/guild/"
    assert command + "manifest.json" in told(study)


def test_measures_of_granularity_are_told_in_words(study):
    columns = ["population", "measure", "n", "mean"]
    rows = [["a", "n_piles", 2, 3.0], ["a", "pairs_together_share", 2, 0.25]]
    write(study, "validation/granularity.csv", columns, rows)
    text = told(study)
    assert "n_piles" not in text[text.index("Granularity by") : text.index('id="pooling"')]
    assert "pairs put together, share" in text


def test_who_was_left_out_is_told_as_counts_and_reasons_and_by_no_id(study):
    columns = ["participant", "population", "n_piles", "status", "reason"]
    people = [["somebody-7", "a", 1, "excluded", "one pile"], ["p1", "a", 3, "kept", None]]
    write(study, "validation/participants.csv", columns, people)
    write(
        study,
        "validation/findings.csv",
        ["severity", "file", "participant", "message"],
        [["note", "sorts.csv", "somebody-7", "4 terms not placed"]],
    )
    text = told(study)
    assert "Ones: 1, one pile" in words_of(text)
    assert "somebody-7" not in text
