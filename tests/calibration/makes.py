"""Every make of invented people; the held-out one is for judging a rule that is final."""

from calibration.attributes import ATTRIBUTES
from calibration.card_table import CARD_TABLE
from calibration.nested_truth import NESTED
from calibration.sorting_people import PLACES

MAKES = {make.name: make for make in (PLACES, NESTED, ATTRIBUTES)}
HELD_OUT = {make.name: make for make in (CARD_TABLE,)}
