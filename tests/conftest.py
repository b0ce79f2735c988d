"""Published data and reference values, as the tests need them."""

import pytest
from published import Reference


@pytest.fixture(scope="session")
def reference():
    return Reference()
