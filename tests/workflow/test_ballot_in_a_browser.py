"""The ballot in a real browser: from choices to files to the next run's published tiers."""

import csv
import io
import json
import random
from pathlib import Path

import pytest
from ballot_filling import (
    DAY,
    FILLED,
    choose,
    copied,
    opened_ballot,
    published_again,
    row_of,
    table,
)
from browsing import BLOCKED, FITS, SIZES, opened, violations, windows
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.tiers.decisions import replay
from felloe.tiers.rows import read_data_chart, read_decisions, read_names
from felloe.validation.ballot_form import BALLOT
from felloe.validation.canonical import write_study
from felloe.validation.intake.study import read_study
from study_folder import CANONICAL, LIMITS

ELM, CLASS_CLOVE = "sensitive:term:elm", "name:class:clove"
OUTCOME = """
(answers) => ballotFiles(JSON.parse(document.getElementById("data").textContent)).outcome(answers)
"""
ROUNDS = 60


@pytest.fixture
def page_file(small_results):
    return small_results / "report" / "ballot.html"


@pytest.fixture
def ballot(browser, page_file):
    return lambda **how: opened(browser, page_file, **how)


def section(key):
    return f'.question[data-key="{key}"]'


def answer(page, key, value, reason=FILLED["reason"], name=None):
    """Choose and give a reason, as a reader does."""
    page.check(f'{section(key)} input[value="{value}"]')
    page.fill(f"{section(key)} textarea", reason)
    if name is not None:
        page.fill(f'{section(key)} [data-field="name"]', name)


def texts(page):
    return {name: page.input_value(f"#{name}") for name in ("decisions", "names")}


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


def move_of(page, key):
    """Return the first move that is offered."""
    values = page.eval_on_selector_all(
        f"{section(key)} input[type=radio]", "all => all.map((one) => one.value)"
    )
    return next(value for value in values if value.startswith(("beside ", "within ")))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_everybody_can_fill_in_the_ballot(ballot, size, scheme):
    with ballot(size=size, scheme=scheme) as page:
        assert violations(page) == []
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        page.check(f'{section(CLASS_CLOVE)} input[value="other clove"]')
        assert page.inner_text("#problems")
        assert violations(page) == []
        assert page.evaluate(FITS)


def test_the_page_forbids_itself_a_network(page_file):
    text = page_file.read_text(encoding="utf-8")
    assert "default-src 'none'" in text
    assert "unsafe" not in text.split("<title>")[0]
    assert "http" not in text.split("</style>")[1].replace("http-equiv", "")


def test_untouched_the_files_are_those_of_the_study(ballot, small_results):
    with ballot() as page:
        found = texts(page)
    study = small_results.parents[1] / "guild"
    own = table(study / "decisions.csv")
    assert [{name: row[name] for name in own[0]} for row in rows_of(found["decisions"])] == own
    named = sorted(table(study / "names.csv"), key=lambda row: row["anchor"])
    assert [{name: row[name] for name in named[0]} for row in rows_of(found["names"])] == named


def test_from_the_ballot_to_the_published_tiers(ballot, small_results, tmp_path):
    reason, name = 'Panel: "yes", makers, too;\nsee minutes — № 7', "Gewürze, warm"
    folder, results = copied(small_results, tmp_path / "next")
    with ballot() as page:
        page.fill("#all-day", DAY)
        page.fill("#all-role", FILLED["decided_by"])
        value = move_of(page, ELM)
        answer(page, ELM, value, reason)
        answer(page, CLASS_CLOVE, "other clove", name=name)
        for file in ("decisions", "names"):
            with page.expect_download() as waiting:
                page.click(f"#save-{file}")
            waiting.value.save_as(folder / f"{file}.csv")
            assert waiting.value.suggested_filename == f"{file}.csv"
    kept = {row["term"]: row for row in table(folder / "decisions.csv")}
    assert (kept["elm"]["reason"], kept["elm"]["decided_on"]) == (reason, DAY)
    assert kept["mace"]["beside"] == "clove"
    now = published_again(results)
    assert now["elm"]["status"] == "moved"
    assert now["elm"]["subclass"] == now[kept["elm"]["beside"]]["subclass"]
    assert now[value.split()[1]]["subclass"] == now["elm"]["subclass"]  # its id is a term of it
    assert {now[term]["class_name"] for term in ("clove", "ginger", "pepper")} == {name}
    assert now["oak"]["class_name"] == "Trees"  # it went by elm


def test_from_the_spreadsheet_to_the_published_tiers(small_results, tmp_path):
    folder, results = copied(small_results, tmp_path / "next")
    book, lists = opened_ballot(results / "report" / BALLOT)
    beside = choose(book, lists, row_of(book, "sensitive", "elm"), "beside").split()[1]
    choose(book, lists, row_of(book, "name", "clove", "class"), "other", name="Spices")
    book.save(folder / BALLOT)
    now = published_again(results, "report/ballot.xlsx")
    assert now["elm"]["status"] == "moved"
    assert now["elm"]["subclass"] == now[beside]["subclass"]
    assert {now[term]["class_name"] for term in ("clove", "ginger", "pepper")} == {"Spices"}
    assert now["oak"]["class_name"] == "Trees"
    decided = {row["term"]: row["status"] for row in table(results / "tiers" / "decisions.csv")}
    assert decided["elm"] == "applied"
    # the next ballot has these filled in: put in place of this one, as it is, nothing is lost
    before = read_study(folder, LIMITS, name="guild")
    (folder / BALLOT).write_bytes((results / "report" / BALLOT).read_bytes())
    after = read_study(folder, LIMITS, name="guild")
    assert (after.decisions, after.names) == (before.decisions, before.names)


def test_nothing_comes_out_while_something_is_missing(ballot):
    with ballot() as page:
        page.check(f'{section(ELM)} input[value="{move_of(page, ELM)}"]')
        assert texts(page) == {"decisions": "", "names": ""}
        assert page.is_disabled("#save-decisions")
        assert "reason" in page.inner_text("#problems")
        for bad in ("=1+1", "  ", "\u202eturned"):
            page.fill(f"{section(ELM)} textarea", bad)
            assert page.is_disabled("#save-decisions"), bad
        page.fill(f"{section(ELM)} textarea", "so")
        assert page.is_enabled("#save-decisions")
        page.fill(f'{section(ELM)} [data-field="day"]', "")
        assert page.is_disabled("#save-names")


def test_for_what_is_not_kept_no_reason_is_asked(ballot):
    # three words of one subclass stay: two rows hold all three
    with ballot() as page:
        data = json.loads(page.text_content("#data"))
        asked = {one["subject"]: one for one in data["questions"] if one["kind"] == "sensitive"}
        stays = {
            asked[term]["key"]: {
                "choice": next(v for v in asked[term]["options"] if v[:4] == "stay")
            }
            for term in ("ash", "elm", "oak")
        }
        reasoned = {key: {**one, "reason": "so", "day": DAY} for key, one in stays.items()}
        found = page.evaluate(OUTCOME, reasoned)
        ((number, _),) = found["unkept"].items()
        assert len(rows_of(found["decisions"])) == 1 + 2  # one stood before
        (held,) = [one["key"] for one in asked.values() if str(one["number"]) == number]
        bare = page.evaluate(OUTCOME, {**reasoned, held: stays[held]})
        assert (bare["problems"], bare["decisions"]) == ([], found["decisions"])
        others = page.evaluate(OUTCOME, {**stays, held: reasoned[held]})
        assert len({one["number"] for one in others["problems"]}) == 2
        page.check(f'{section(held)} input[value="{stays[held]["choice"]}"]')
        assert page.is_visible(f"{section(held)} textarea")
        for key, one in reasoned.items():
            page.check(f'{section(key)} input[value="{one["choice"]}"]')
        assert not page.is_visible(f"#q{number} textarea")
        assert page.inner_text(f"#unkept{number}")


def test_the_day_is_todays_unless_another_is_chosen(ballot):
    with ballot() as page:
        today = page.evaluate("new Intl.DateTimeFormat('sv').format(new Date())")
        assert page.input_value("#all-day") == today


def test_a_draft_outlives_a_closed_window(browser, page_file, tmp_path):
    with windows(browser) as opening:
        page = opening(page_file)
        answer(page, ELM, move_of(page, ELM), "half a sen")
        page.close()
        again = opening(page_file)
        assert again.is_checked(f'{section(ELM)} input[value="{move_of(again, ELM)}"]')
        assert again.input_value(f"{section(ELM)} textarea") == "half a sen"
        assert "1" in again.inner_text("#draft-state")
        # another window of the same browser, of another chart: told, and not applied
        other = tmp_path / "ballot.html"
        chart = json.loads(again.text_content("#data"))["chart"]
        other.write_text(
            page_file.read_text(encoding="utf-8").replace(chart, "f" * 64), encoding="utf-8"
        )
        older = opening(other)
        assert older.is_visible("#older")
        assert older.is_checked(f'{section(ELM)} input[value="open"]')
        older.click("#older-take")
        assert not older.is_checked(f'{section(ELM)} input[value="open"]')
        assert older.is_hidden("#older")


def test_where_nothing_may_be_kept_it_is_said(browser, page_file):
    with opened(browser, page_file, script=BLOCKED) as page:
        assert "keeps no draft" in page.inner_text("#draft-state")
        answer(page, ELM, move_of(page, ELM))
        assert rows_of(texts(page)["decisions"])


def test_emptying_asks_first(ballot):
    with ballot() as page:
        answer(page, ELM, move_of(page, ELM))
        page.once("dialog", lambda asked: asked.dismiss())
        page.click("#fresh")
        assert not page.is_checked(f'{section(ELM)} input[value="open"]')
        page.once("dialog", lambda asked: asked.accept())
        page.click("#fresh")
        assert page.is_checked(f'{section(ELM)} input[value="open"]')
        page.reload()
        assert page.is_checked(f'{section(ELM)} input[value="open"]')


def test_by_keyboard_alone(ballot):
    with ballot() as page:
        page.focus("#all-role")
        page.keyboard.type("committee")
        wanted = f"document.activeElement.closest({json.dumps(section(ELM))}) !== null"
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate(f"{wanted} && document.activeElement.type === 'radio'"):
                break
        page.keyboard.press("ArrowUp")  # from `open` to the move before it
        assert page.evaluate("document.activeElement.value").split()[0] in ("beside", "within")
        for _ in range(4):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.tagName") == "TEXTAREA":
                break
        page.keyboard.type("by hand")
        for _ in range(200):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.id") == "save-decisions":
                break
        with page.expect_download() as waiting:
            page.keyboard.press("Enter")
        (elm,) = [row for row in table(waiting.value.path()) if row["term"] == "elm"]
        assert (elm["reason"], elm["decided_by"]) == ("by hand", "committee")


def test_a_move_that_another_choice_makes_void_is_told(ballot):
    with ballot() as page:
        keys = [f"sensitive:term:{term}" for term in ("ash", "elm", "oak")]
        target = move_of(page, ELM)
        # all words of one subclass leave it, and one of the other joins it: there is nobody left
        found = page.evaluate(
            OUTCOME,
            {key: {"choice": target, "reason": "so", "day": DAY} for key in keys}
            | {"name:subclass:ash": {"choice": "name elm", "reason": "so", "day": DAY}},
        )
        assert any("group" in one["text"] for one in found["problems"])


def random_answers(data, chance):
    """Return choices by chance, each whole; names that differ."""
    found = {}
    for question in data["questions"]:
        if chance.random() < 0.6:
            choice = chance.choice(list(question["options"]))
            day = f"203{chance.randint(0, 3)}-0{chance.randint(1, 9)}-11"
            found[question["key"]] = {
                "choice": choice, "reason": f'r,"{question["number"]}"', "day": day, "role": "x",
                "name": f"N {question['number']}",
            }  # fmt: skip
    return found


def test_what_comes_out_passes_the_intake_and_is_replayed(ballot, small_results, tmp_path):
    folder, results = copied(small_results, tmp_path / "next")
    known = read_data_chart(results / "tiers/evidence.csv", results / "validation/terms.csv")
    apart = read_distances(results / "clustering/distances.csv")
    tree = read_tree(results / "clustering/linkage.csv")
    published = {row["term"]: row["subclass"] for row in table(results / "tiers/published.csv")}
    whole = 0
    with ballot() as page:
        data = json.loads(page.text_content("#data"))
        for seed in range(ROUNDS):
            answers = random_answers(data, random.Random(seed))
            found = page.evaluate(OUTCOME, answers)
            if found["problems"]:
                assert found["decisions"] == found["names"] == ""
                continue
            whole += 1
            for file in ("decisions", "names"):
                (folder / f"{file}.csv").write_text(found[file], encoding="utf-8")
            paths = {name: tmp_path / file for name, file in CANONICAL.items()}
            write_study(read_study(folder, LIMITS), paths)
            decided = read_decisions(paths["decisions"])
            publication = replay(tree, known.tiers, apart, decided)
            now = dict(zip(known.terms, publication.subclasses, strict=True))
            wanted = dict(published)
            for question in data["questions"]:
                option = question["options"].get(answers.get(question["key"], {}).get("choice"), {})
                if option.get("group"):
                    wanted[question["subject"]] = option["group"]
            assert groups(now) == groups(wanted)
            assert_names_single_out_groups(read_names(paths["names"]), now)
    assert whole >= ROUNDS / 6


def groups(of):
    found = {}
    for term, group in of.items():
        found.setdefault(group, set()).add(term)
    return sorted(sorted(group) for group in found.values())


def assert_names_single_out_groups(names, now):
    """No two names of subclasses meet in one, which would stop the run."""
    met = [now[name.anchor] for name in names if name.tier == "subclass"]
    assert len(met) == len(set(met))


def test_a_sheet_of_paper_has_a_box_for_each_choice(ballot, tmp_path):
    with ballot() as page:
        printed = Path(tmp_path / "ballot.pdf")
        page.pdf(path=printed, prefer_css_page_size=True)
        page.emulate_media(media="print")
        assert not page.is_visible("#result")
        assert page.is_visible(f"{section(ELM)} .on-paper")
        assert page.locator(f"{section(ELM)} .options:not(.further *) input").first.is_visible()
        heights = page.eval_on_selector_all(
            ".question", "all => all.map((one) => one.getBoundingClientRect().height)"
        )
        assert max(heights) < 96 / 25.4 * 268  # none is cut: a page has 268 mm between its margins
