"""What the chart is made from."""

import pytest
from felloe.comparison.chart import ChartSource, read_chart_source, write_chart_source
from felloe.comparison.chart_choice import Pooling, chart_weights, choose_chart
from felloe.errors import StudyError

TWO = {"makers": 40, "panel": 20}


def chosen(
    verdict,
    pooling="decide",
    population=None,
    populations=TWO,
    ratio=1.5,
    cannot_tell="pooled",
    reason=None,
):
    settings = Pooling(pooling, cannot_tell, population, ratio, reason)
    return choose_chart("a", verdict, populations, settings)


def test_pooled_populations_weigh_the_same_when_one_is_much_larger():
    assert chosen("pool") == ChartSource("pooled", "equal", "verdict")
    assert chart_weights(TWO, 2.0) == "plain"


def test_populations_kept_apart_chart_the_population_of_the_settings():
    expected = ChartSource("panel", "plain", "settings")
    assert chosen("keep_apart", population="panel") == expected
    never = ChartSource("panel", "plain", "settings", override="never")
    assert chosen("pool", "never", {"a": "panel"}) == never


def test_where_nobody_can_tell_all_are_charted_provisionally():
    expected = ChartSource("pooled", "equal", "verdict", provisional=True)
    assert chosen("cannot_tell") == expected
    assert not chosen("pool_with_notes").provisional
    assert not chosen("cannot_tell", "always").provisional  # the settings took it on themselves


def test_where_nobody_can_tell_the_settings_may_ask_for_one_population():
    expected = ChartSource("panel", "plain", "settings", override="one")
    assert chosen("cannot_tell", population="panel", cannot_tell="one") == expected
    assert chosen("pool", cannot_tell="one").override is None  # the verdict decides


def test_where_nobody_can_tell_the_settings_may_ask_to_stop():
    with pytest.raises(StudyError, match=r"comparison\.cannot_tell is 'stop'"):
        chosen("cannot_tell", cannot_tell="stop")
    assert chosen("pool", cannot_tell="stop").source == "pooled"


def test_pooling_always_overrides_the_verdict():
    expected = ChartSource("pooled", "plain", "settings", override="always")
    assert chosen("keep_apart", "always", ratio=2.5) == expected


def test_a_reason_goes_with_an_override_and_with_nothing_else():
    reason = "The board asked for one chart."
    assert chosen("keep_apart", "always", reason=reason).override_reason == reason
    assert chosen("cannot_tell", cannot_tell="one", reason=reason).override_reason == reason
    assert chosen("keep_apart", reason=reason).override_reason is None
    assert chosen(None, "always", populations={"makers": 40}, reason=reason).override is None


@pytest.mark.parametrize("population", [None, {"b": "panel"}])
def test_the_largest_population_is_charted_where_none_is_named(population):
    expected = ChartSource("makers", "plain", "size")
    assert chosen("keep_apart", population=population) == expected


@pytest.mark.parametrize("population", ["pooled", "judges", {"a": "judges"}])
def test_an_unknown_chart_population_names_the_key_and_the_populations(population):
    with pytest.raises(StudyError) as error:
        chosen("keep_apart", population=population)
    assert "comparison.chart_population" in str(error.value)
    assert "makers, panel" in str(error.value)


@pytest.mark.parametrize("pooling", ["decide", "always", "never"])
def test_one_population_is_charted_because_there_is_no_other(pooling):
    assert chosen(None, pooling, populations={"makers": 40}) == ChartSource(
        "pooled", "plain", "only"
    )


def test_whose_chart_it_is_reads_back_as_written(tmp_path):
    chart = chosen("keep_apart")
    write_chart_source(tmp_path / "chart.json", chart)
    assert read_chart_source(tmp_path / "chart.json") == chart
