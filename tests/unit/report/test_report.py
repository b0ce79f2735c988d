"""The report: told from files, and only from files."""

import html
import itertools
import re
import shutil
from html.parser import HTMLParser

import numpy as np
import pytest
import yaml
from felloe.ground.files.records import read_json, write_json
from felloe.ground.files.tables import read_rows
from felloe.report.catalogue import table_of
from felloe.report.evidence import Evidence
from felloe.report.study_report import write_report
from felloe.settings import DEFAULTS
from scipy.stats import binom

DOSSIER = "comparison/populations.json"
CHART, OWN = "comparison/chart.json", "circle/own_charts.csv"


def rewrite(folder, name, change):
    """Change the rows of a table in place, each a dict, and write it as it is declared."""
    table = table_of(name)
    rows = table.read(folder / name)
    table.write(folder / name, change(rows), further=list(rows[0])[len(table.names) :])


def set_cells(folder, name, where, **cells):
    """Set cells in the rows of a table that hold what is given."""

    def change(rows):
        for row in rows:
            if all(row[column] == value for column, value in where.items()):
                row.update(cells)
        return rows

    rewrite(folder, name, change)


def change_record(folder, name, **changes):
    """Rewrite values of a record; a dotted key goes into its parts."""
    record = read_json(folder / name)
    for key, value in changes.items():
        *above, last = key.split("__")
        found = record
        for part in above:
            found = found[part]
        found[last] = value
    write_json(folder / name, record)


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
def study(small_results, tmp_path):
    """Return a copy of a whole study's tables and records, its drawings left out."""
    drawn = ("*.svg", "*.png", "*.pdf", "*.html", "*.tsv", "*.log", "*.xlsx", ".snakemake*")
    ignored = shutil.ignore_patterns(*drawn)
    shutil.copytree(small_results, tmp_path / "study", ignore=ignored)
    shutil.rmtree(tmp_path / "study" / "figures")
    return tmp_path / "study"


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


def test_the_sentence_on_mantel_never_says_alike(study):
    # METHODS: the wording that a small p allows, and no more.
    found = {"r": 0.765, "p": 0.0001, "permutations": 9999, "n_terms": 4}
    change_record(study, DOSSIER, mantel__pearson={**mantel_of(study), **found})
    text = re.sub("<[^>]*>", "", told(study))
    assert (
        "The two groups' co-occurrence matrices are positively associated (r = 0.765, one-sided "
        "permutation p = 0.0001, 9\u202f999 permutations, 4 terms). This excludes unrelated "
        "structures; it is not evidence that the groups sort identically and is not by itself a "
        "ground for pooling."
    ) in html.unescape(text)


def test_a_large_mantel_p_is_not_called_an_association(study):
    change_record(study, DOSSIER, mantel__pearson__p=0.4)
    text = told(study)
    assert "not shown to be associated" in text
    assert "positively associated" not in text


def mantel_of(study):
    return read_json(study / DOSSIER)["mantel"]["pearson"]


def test_an_override_stands_in_a_warning(study):
    change_record(study, CHART, override="always")
    said = 'class="warning"><strong>Override.</strong> The populations were pooled because'
    text = told(study)
    assert said in text
    assert text.count("No reason was given") == 2  # in brief, and in its section


def test_the_reason_of_an_override_is_printed_word_for_word(study):
    change_record(study, CHART, override="always", override_reason="One chart for <all> & sundry.")
    assert told(study).count("The reason given: One chart for &lt;all&gt; &amp; sundry.") == 2


def test_a_provisional_chart_says_so_before_it_says_how_firm_it_is(study):
    change_record(study, CHART, provisional=False)
    assert "Provisional:" not in told(study)
    change_record(study, CHART, provisional=True)
    text = told(study)
    assert text.index("Provisional:") < text.index("How firm, if all may be pooled")


def placed(text, mark):
    """Return the heading that a place of a page stands below, "" for none."""
    above = re.findall(r'<h2 id="(\w+)"', text[: text.index(mark)])
    return above[-1] if above else ""


@pytest.mark.parametrize(
    ("verdict", "chart", "section", "before"),
    [
        ("cannot_tell", {"source": "pooled", "provisional": True}, "", "What was asked</h2>"),
        ("keep_apart", {"source": "panel", "provisional": False}, "pooling", "The rule:"),
        ("pool", {"source": "pooled", "provisional": False}, "pooling", "For the verdict the"),
    ],
)
def test_the_own_charts_stand_where_the_verdict_asks_for_them(
    study, verdict, chart, section, before
):
    change_record(study, DOSSIER, verdict=verdict)
    change_record(study, CHART, **chart)
    text = told(study)
    mark = "The populations' own charts in words"
    assert html.unescape(text).count(mark) == 1
    assert placed(html.unescape(text), mark) == section
    assert html.unescape(text).index(mark) < html.unescape(text).index(before)


def test_the_own_charts_are_told_term_by_term(study):
    rows = table_of(OWN).read(study / OWN)
    differing = {row["term"] for row in rows if row["differs"] and row["population"] == "panel"}
    text = html.unescape(told(study))
    part = text[text.index("own charts in words") :]
    part = part[: part.index("</ul>")]
    assert part.count(" as published)") == len(differing)


def test_granularity_is_named_where_it_may_be_why_nobody_can_tell(study):
    change_record(study, DOSSIER, verdict="cannot_tell", granularity_difference__p_value=0.004)
    text = told(study)
    assert "a known property of the measure" in text
    assert 'title="comparison/populations.json: granularity_difference.p_value"' in text


def test_a_criterion_that_failed_says_so(study):
    change_record(study, DOSSIER, criteria=criteria(study, "corrected_r", 0.765, 0.9, False))
    assert re.search(
        r'Do the two matrices agree.*?0\.765.*?0\.90.*?class="fail">not met', told(study)
    )


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


def words_of(text):
    return html.unescape(re.sub("<[^>]*>", "", text))


def criteria(study, key, value, margin, passed):
    """Return the criteria of the dossier, one of them with another value."""
    other = {"value": value, "margin": margin, "passed": passed}
    found = read_json(study / DOSSIER)["criteria"]
    return [{**one, **other} if one["key"] == key else one for one in found]


@pytest.mark.parametrize(
    ("value", "said"), [(0.901, True), (0.899, True), (0.93, False), (0.87, False)]
)
def test_a_bound_near_its_margin_is_called_narrow(study, value, said):
    changed = criteria(study, "corrected_r", value, 0.9, value >= 0.9)
    change_record(study, DOSSIER, criteria=changed)
    assert ("met, narrowly" in told(study)) == said


@pytest.mark.parametrize(
    ("value", "low", "says", "because", "said", "never"),
    [
        (0.951, 0.912, "value", None, r"noise it is 0\.951 \(95.%.*0\.912 to", "at least"),
        (1.083, 0.912, "at_least", "above_one", r"noise it is at least 0\.912 \(lower", "1.083"),
        (1.083, 0.912, "at_least", "unreliable", r"any value\.", "1.083"),
        (1.083, -0.2, "no_bound", "unreliable", "neither a value nor a bound", "1.083"),
        (None, None, "nothing", "uncorrectable", "cannot be corrected", "nan"),
    ],
)
def test_a_corrected_correlation_that_cannot_be_is_told_by_its_bound(
    study, value, low, says, because, said, never
):
    changes = {"value": value, "low": low, "high": low and 1.0, "says": says, "because": because}
    found = read_json(study / DOSSIER)["noise_ceiling"]["corrected_r"]
    change_record(study, DOSSIER, noise_ceiling__corrected_r={**found, **changes})
    part = words_of(told(study)).split("How much agreement could be expected?")[-1]
    part = part.split("Are the people exchangeable?")[0]
    assert re.search(said, part, re.S)
    assert never not in part


def test_how_many_more_people_would_settle_it_stands_on_the_page(study):
    names = read_json(study / DOSSIER)["populations"]
    each = {"more": 17, "share": 0.84, "standard_error": 0.019}
    plan = {
        "question": "agreement", "only": dict.fromkeys(names), "of_each": each, "most": 240,
        "enough": 0.8, "replicates": 400,
    }  # fmt: skip
    change_record(study, DOSSIER, plan=plan)
    assert "17 more of each (0.84, Monte-Carlo error 0.02)" in words_of(told(study))


def test_changes_that_random_splits_make_too_are_not_used(study):
    found = criteria(study, "stable_cut", 0.3, 0.1, False)
    change_record(study, DOSSIER, criteria=found)
    assert re.search(r'random splits.*?0\.300.*?class="aside">not met', told(study), re.S)
    assert re.search(r'few terms change class.*?class="aside">not used', told(study), re.S)
    assert "speak neither for nor against pooling" in told(study)


@pytest.mark.parametrize(("people", "said"), [(19, True), (20, False)])
def test_few_people_are_said_to_give_wide_intervals(study, people, said):
    change_record(study, DOSSIER, n_people={"makers": people, "panel": 40})
    assert (f"Makers: {people}) intervals are wide" in words_of(told(study))) == said


def test_the_standard_error_told_for_twenty_people_is_that_of_two_binomial_shares(study):
    # Source: variance p(1 - p)/n of a binomial share (scipy), twice for a difference of two.
    quoted = re.search("is already about ([0-9.]+) where", words_of(told(study))).group(1)
    share = binom(20, 0.5).std() / 20
    assert float(quoted) == pytest.approx(np.hypot(share, share), abs=0.005)


def test_a_doubtful_term_has_its_reason_and_its_missing_rival_is_explained(study):
    elm = {"term": "elm"}
    told_of = {"status": "doubtful", "rival_class": "", "rival_probability": 0.0}
    set_cells(study, "tiers/published.csv", elm, **told_of)
    set_cells(study, "tiers/evidence.csv", elm, reason="below_firm;weak_class")
    text = told(study)
    table = text[text.index("Doubtful and undecided terms") :]
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


def test_a_lexicon_without_definitions_shows_no_empty_columns(study):
    set_cells(study, "validation/terms.csv", {}, definition="", reference="", caution="")
    text = told(study)
    lexicon = text[text.index("Lexicon of this edition") :]
    heads = re.findall('<th scope="col"[^>]*>(.*?)</th>', lexicon[: lexicon.index("</table>")])
    assert heads == ["term"]


def test_the_command_to_rebuild_names_settings_and_folder(study):
    command = "python3 scripts/run --configfile SETTINGS.yaml --directory FOLDER results/guild/"
    assert command + "manifest.json" in told(study)


def test_measures_of_granularity_are_told_in_words(study):
    text = told(study)
    assert "n_piles" not in text[text.index("Granularity by") : text.index('id="pooling"')]
    assert "pairs put together, share" in text


def test_who_was_left_out_is_told_as_counts_and_reasons_and_by_no_id(study):
    text = told(study)
    assert "Trained panel: 1, all terms in one pile" in words_of(text)
    assert "somebody-" not in text
