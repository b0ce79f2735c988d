"""What may be typed is told, and what was mistyped is named with what was probably meant."""

import json
import re
import shlex
from pathlib import Path

import pytest
from felloe.launching import launcher
from felloe.launching.commands import COMMANDS
from felloe.launching.launcher import HELP, WORDS
from felloe.launching.planning import reason_words
from felloe.launching.planning.freshness import INPUT, LOST, NEW, Reason
from felloe.launching.planning.survey import has_own_reason
from felloe.launching.running import OPENED, ROOT, departures, pages_to_open


@pytest.mark.parametrize("word", [word for word in WORDS if word[0] != "-"])
def test_every_word_is_in_the_help(word, capsys):
    assert launcher.main(["help"]) == 0
    assert word in capsys.readouterr().out or word == "help"


def test_help_and_version_may_be_typed_as_options(capsys):
    assert launcher.main(["--help"]) == 0
    assert capsys.readouterr().out == f"{HELP}\n"
    assert launcher.main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("Felloe ")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("verfy", "Did you mean verify?"),
        ("compare-run a b", "Did you mean compare-runs?"),
        ("archiv --cores 2", "Did you mean archive?"),
        ("honey", "neither a command nor a file of results"),
    ],
)
def test_a_word_that_is_none_is_named(typed, said, capsys):
    assert launcher.main(shlex.split(typed)) == 2
    told = capsys.readouterr().err
    assert said in told
    assert len(told.splitlines()) == 1


@pytest.mark.parametrize("usage", COMMANDS)
def test_the_usage_of_a_command_names_a_word_of_the_launcher(usage):
    assert usage.split()[2] in WORDS


def held_against(folder, study, points):
    path = folder / "results" / study / "validation" / "protocol.json"
    path.parent.mkdir(parents=True)
    record = {"departures": [{"what": point, "frozen": 1, "now": 2} for point in points]}
    path.write_text(json.dumps(record), encoding="utf-8")
    return path


def test_departures_from_a_protocol_are_told_at_the_end_of_a_run(tmp_path):
    points = ["seed", "terms.oak.label", "tiers.classes", "title"]
    honey, kept = held_against(tmp_path, "honey", points), held_against(tmp_path, "kept", [])
    assert list(departures([kept, honey])) == [
        "honey departs from its protocol: seed, terms.oak.label, tiers.classes and 1 more."
    ]
    kept.write_text("{", "utf-8")
    assert len(list(departures([kept, honey, tmp_path / "gone.json"]))) == 1


def test_an_input_that_is_gone_is_told_from_one_that_changed():
    name = ("study/sorts.csv",)
    assert reason_words.reason(Reason(INPUT, name)).endswith("is another than it read")
    assert reason_words.reason(Reason(INPUT, name, missing=True)) == "study/sorts.csv is missing"


def test_what_only_reads_something_changed_has_no_reason_of_its_own():
    assert not has_own_reason([Reason(INPUT, ("x",)), Reason(NEW)])
    assert has_own_reason([Reason(INPUT, ("x",)), Reason(LOST, ("y",))])


@pytest.mark.parametrize(
    ("ran", "said"),
    [
        (
            ["write_report", "draw_wheel"],
            "results/<study>/report/report.html and results/<study>/figures/wheel.pdf",
        ),
        (["link_editions", "report_editions"], "results/editions/<older>--<newer>/report.html"),
        (["report_timeline"], "results/editions/<first>--<last>/timeline.html"),
        (
            ["count_together", "write_report", "draw_wheel", "report_editions"],
            "results/<study>/report/report.html, results/<study>/figures/wheel.pdf and "
            "results/editions/<older>--<newer>/report.html",
        ),
        ([], "results/<study>/report/report.html and results/<study>/figures/wheel.pdf"),
    ],
)
def test_the_last_line_names_the_pages_that_were_made(ran, said):
    assert pages_to_open("results", ran) == said


@pytest.mark.parametrize("step", OPENED)
def test_pages_to_open_are_made_by_the_steps_that_are_named(step):
    named = rf'rule {step}:$| +name:\s+f"{step}_\{{study\}}"$'  # of all studies, or of each
    rule = re.compile(rf"^(?:{named})(.*?)^(?: *rule\b|\Z)", re.MULTILINE | re.DOTALL)
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "workflow/rules").glob("*.smk")]
    (body,) = [found[1] for text in texts if (found := rule.search(text))]
    assert Path(OPENED[step]).name.partition(".")[0] in body
