"""What a study's owner reads when something is wrong."""

from felloe.errors import SCREEN_LINES, Fault, StudyError, nearest, shortened, unknown_study


def test_a_fault_says_where_what_and_what_to_do():
    fault = Fault(
        "sorts.csv", 7, "term", "gralic", "is no term of terms.csv", "Did you mean 'garlic'?"
    )
    assert str(fault) == (
        "sorts.csv, line 7, column 'term': 'gralic': is no term of terms.csv."
        " Did you mean 'garlic'?"
    )


def test_faults_are_told_in_order_of_file_and_line():
    error = StudyError(
        [
            Fault("b.csv", 2, problem="x"),
            Fault("a.csv", 9, problem="y"),
            Fault("a.csv", 1, problem="z"),
        ]
    )
    assert [line.split(":")[0] for line in str(error).splitlines()] == [
        "a.csv, line 1",
        "a.csv, line 9",
        "b.csv, line 2",
    ]


def test_a_screen_is_not_exceeded_and_the_rest_is_pointed_to():
    error = StudyError([Fault("a.csv", n, problem="x") for n in range(1, 400)], more="all.csv")
    lines = str(error).splitlines()
    assert len(lines) == SCREEN_LINES + 2
    assert "349 more" in lines[-2]
    assert "all.csv" in lines[-1]


def test_a_near_miss_is_recognised_and_a_far_one_is_not():
    assert nearest("gralic", ["garlic", "dill"]) == "garlic"
    assert nearest("zzz", ["garlic", "dill"]) is None


def test_a_study_that_there_is_not_is_told_with_the_one_meant_or_with_all():
    assert unknown_study("brien", ["dill", "brine"]).endswith("Did you mean 'brine'?")
    assert unknown_study("\x1b", {"dill": "", "brine": ""}) == (
        "\\x1b is no study of these settings. They name: dill, brine."
    )


def test_a_long_or_unprintable_value_is_shown_short_and_plain():
    assert len(shortened("x" * 10**6)) == 60
    assert shortened("a\x1b[31m") == "a\\x1b[31m"
