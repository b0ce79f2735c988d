"""What a run shows while it goes on, and how long it says that the rest will take."""

import random

import pytest
from felloe.launching.engine.estimate import in_words, seconds_left, seconds_of_rules
from felloe.launching.engine.events import (
    Cores,
    Failed,
    Finished,
    Planned,
    Progress,
    Said,
    Started,
    line_of,
    read_line,
)
from felloe.launching.engine.progress import Watcher

EVENTS = [
    Planned({"count": 2, "draw": 1}),
    Cores(2),
    Started(7, "count", {"study": "brine"}, ["results/brine/logs/count.log"]),
    Finished(7),
    Progress(1, 3),
    Failed("draw", ["logs/draw.log"]),
    Said("ERROR", "two\nlines \x1e of 'words'", "ValueError"),
]


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_an_event_survives_its_line(event):
    line = line_of(event)
    assert line.count("\n") == 1
    assert read_line(line) == ("", event)


def test_an_event_behind_a_line_that_was_not_ended_is_read_and_the_line_kept():
    assert read_line("half a line" + line_of(Finished(1))) == ("half a line", Finished(1))


@pytest.mark.parametrize("broken", ['{"event": "Finis', '{"event": "Odd"}', "[]", '{"job": 1}'])
def test_a_broken_event_is_kept_as_text(broken):
    assert read_line(f"\x1e{broken}\n") == (f"{broken}\n", None)


def progress(capsys, *, terminal=False, seconds=None, rule="count", logs=(), wildcards=None):
    watcher = Watcher(terminal=terminal, seconds=seconds or {})
    wildcards = {"study": "brine"} if wildcards is None else wildcards
    for event in (
        Cores(2),
        Planned({rule: 2, "all": 1}),
        Started(1, rule, wildcards, list(logs)),
        Started(2, rule, wildcards, list(logs)),
        Finished(1),
        Progress(1, 3),
    ):
        watcher.line(line_of(event))
    return watcher, capsys.readouterr().out


def test_progress_names_the_step_and_the_study(capsys):
    _, printed = progress(capsys)
    assert printed == "[1/3] count brine\n"


def test_progress_tells_the_time_left_where_an_earlier_run_is_known(capsys):
    _, printed = progress(capsys, seconds={"count": 40.0})
    assert printed == "[0/3] about 1 min left\n[1/3] count brine, about 40 s left\n"


def test_progress_on_a_terminal_is_one_line_written_over(capsys):
    watcher, printed = progress(capsys, terminal=True)
    watcher.finish()
    assert printed == "[1/3] count brine"
    watcher.line(line_of(Progress(2, 3)))
    watcher.line(line_of(Progress(3, 3)))
    assert capsys.readouterr().out == "\n[2/3] count brine\r\x1b[2K[3/3] count brine"


def test_progress_on_a_terminal_is_not_wider_than_it(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "10")
    _, printed = progress(capsys, terminal=True)
    assert printed == "[1/3] cou"


def test_a_rule_named_for_one_study_is_shown_with_the_study_apart(capsys):
    _, printed = progress(
        capsys,
        rule="count_brine-2016",
        logs=["results/brine-2016/logs/count/pooled.log"],
        wildcards={"population": "pooled"},
    )
    assert printed == "[1/3] count brine-2016 pooled\n"


def test_a_warning_of_the_engine_is_printed_when_it_comes(capsys):
    Watcher(terminal=False).line(line_of(Said("WARNING", "the disk is slow")))
    assert capsys.readouterr().err == "the disk is slow\n"


def write_benchmark(folder, name, content):
    path = folder / "results" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(content, encoding="utf-8")


def test_the_seconds_of_a_rule_are_the_mean_of_its_benchmarks(tmp_path):
    write_benchmark(tmp_path, "a/benchmarks/draw.tsv", "s\th:m:s\n2.0\t0:00:02\n")
    write_benchmark(tmp_path, "a/benchmarks/count/pooled.tsv", "s\th:m:s\n1.0\t0:00:01\n")
    write_benchmark(tmp_path, "b/benchmarks/count/x~1/y~2.tsv", "s\th:m:s\n4.0\t0:00:04\n")
    write_benchmark(tmp_path, "editions/a--b/benchmarks/tell.tsv", "h:m:s\ts\n0:00:07\t7.0\n")
    assert seconds_of_rules(tmp_path) == {"draw": 2.0, "count": 2.5, "tell": 7.0}


@pytest.mark.parametrize("content", ["", "s\th:m:s\n", "s\nNA\n", "s\nnan\n", "m\n1\n"])
def test_a_file_that_is_no_benchmark_is_passed_over(tmp_path, content):
    write_benchmark(tmp_path, "a/benchmarks/draw.tsv", content)
    assert seconds_of_rules(tmp_path) == {}


# what is left, T, C and m are put by hand into Graham's bound, T / m + (1 - 1 / m) C (1966)
@pytest.mark.parametrize(
    ("after", "cores", "left"),
    [
        ({}, 1, 16.0),  # T = 3 x 2 + 2 x 5
        ({}, 2, 10.5),  # C = 5
        ({"a": ["b"], "b": []}, 2, 11.5),  # C = 2 + 5
        ({"b": ["a", "all"], "a": ["all"], "all": []}, 4, 9.25),
        ({"gone": ["a"], "a": ["b", "gone too"], "b": []}, 2, 11.5),
    ],
)
def test_the_time_left_is_the_longest_that_a_busy_machine_takes(after, cores, left):
    remaining = {"a": 3, "b": 2, "all": 1, "gone": 0}
    assert seconds_left(remaining, {"a": 2.0, "b": 5.0, "gone": 99.0}, cores, after) == left


def test_one_chain_takes_all_its_seconds_on_many_cores():
    after = {"a": ["b"], "b": ["c"], "c": []}
    remaining = dict.fromkeys("abc", 1)
    assert seconds_left(remaining, {"a": 1.0, "b": 2.0, "c": 3.0}, 8, after) == 6.0


def test_a_plan_is_never_longer_than_what_is_told_of_it():
    # jobs of random lengths that wait for earlier ones, dealt as they come to whoever is idle
    draw = random.Random(5)
    for _ in range(300):
        names, cores = [f"r{n}" for n in range(draw.randint(1, 9))], draw.randint(1, 4)
        took = {name: draw.uniform(0.1, 9) for name in names}
        after = {
            name: [other for other in names[place + 1 :] if draw.random() < 0.3]
            for place, name in enumerate(names)
        }
        real = dealt(names, took, after, cores)
        told = seconds_left(dict.fromkeys(names, 1), took, cores, after)
        assert real <= told + 1e-9
        assert told <= 2 * real + 1e-9  # twice the best plan at the most, whatever is dealt


def dealt(names, took, after, cores):
    """Return when the last of some jobs ends, if an idle core takes the first that may run."""
    ended, running, waiting, now = set(), {}, list(names), 0.0
    while waiting or running:
        before = {name: {one for one in names if name in after[one]} for name in waiting}
        for name in [name for name in waiting if before[name] <= ended]:
            if len(running) < cores:
                running[name] = now + took[name]
                waiting.remove(name)
        now = min(running.values())
        ended |= {name for name, end in running.items() if end == now}
        running = {name: end for name, end in running.items() if end > now}
    return now


def test_a_rule_that_was_never_run_counts_as_the_mean_of_the_others():
    assert seconds_left({"new": 1, "a": 1}, {"a": 2.0, "b": 6.0}, 1) == 6.0


def test_a_rule_named_for_one_study_takes_what_the_rule_took():
    seconds = {"count": 1.0, "count_pairs": 3.0}
    assert seconds_left({"count_brine": 1}, seconds, 1) == 1.0
    assert seconds_left({"count_pairs_brine": 1}, seconds, 1) == 3.0


def test_there_is_no_estimate_without_an_earlier_run_or_a_number_of_cores():
    assert seconds_left({"a": 1}, {}, 2) is None
    assert seconds_left({"a": 1}, {"a": 1.0}, 0) is None


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0.4, "about 5 s left"),
        (33, "about 35 s left"),
        (59, "about 1 min left"),
        (200, "about 3 min left"),
    ],
)
def test_a_time_is_told_no_finer_than_it_is_known(seconds, words):
    assert in_words(seconds) == words
