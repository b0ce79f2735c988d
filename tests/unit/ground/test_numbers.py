"""What readers see of a number."""

import pytest
from felloe.ground.files.numbers import MINUS, shown


@pytest.mark.parametrize(
    ("value", "style", "text"),
    [
        (12345, "count", "12\u202f345"),
        ("0.97987539", "decimal", "0.980"),
        (-0.25, "decimal2", f"{MINUS}0.25"),
        (-0.0001, "decimal2", "0.00"),
        (0.5, "percent", "50\u202f%"),
        (0.004, "percent", "0.4\u202f%"),
        (0.997, "percent", "99.7\u202f%"),
        (1.0, "percent", "100\u202f%"),
        (0.9998, "percent", ">99.9\u202f%"),
        (0.0002, "percent", "<0.1\u202f%"),
        (0.0, "percent", "0\u202f%"),
        (0.0001, "p", "0.0001"),
        (0.00005, "p", f"5e{MINUS}05"),
        (0.0312, "p", "0.031"),
        (3.0, "auto", "3"),
        (True, "plain", "yes"),
        ("", "percent", "\u2013"),
        (None, "count", "\u2013"),
        ("pool", "decimal", "pool"),
    ],
)
def test_a_value_is_shown_in_its_style(value, style, text):
    assert shown(value, style) == text


def test_no_positive_p_is_shown_as_zero():
    assert all(float(shown(10.0**-n, "p").replace(MINUS, "-")) > 0 for n in range(1, 12))
