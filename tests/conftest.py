"""Published data and reference values, as the tests need them."""

import pytest
from published import Reference
from small_study import run_small_study

# a failure shows both sides there too
pytest.register_assert_rewrite("browsing", "ten_terms", "typed_words")


@pytest.fixture(scope="session")
def reference():
    return Reference()


@pytest.fixture(scope="session")
def small_results(tmp_path_factory):
    """The results of a small study, run once through all rules; a test changes only a copy."""
    return run_small_study(tmp_path_factory.mktemp("small"))
