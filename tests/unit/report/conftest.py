"""The invented chart that pages and cards are told from, made once; a test changes a copy."""

import pytest
from page_reader import Reader
from test_chart import chart_of
from wheel_page_example import written


@pytest.fixture(scope="session")
def chart(tmp_path_factory):
    """A chart of 96 terms; files that ask for another make their own."""
    return chart_of(tmp_path_factory.mktemp("page"))


@pytest.fixture(scope="session")
def page(chart):
    """The wheel's page of it."""
    return written(chart)


@pytest.fixture(scope="session")
def read(page):
    """The page as it is read."""
    return Reader(page)


@pytest.fixture(scope="session")
def small(tmp_path_factory):
    """A chart of 14 terms in three classes."""
    return chart_of(tmp_path_factory.mktemp("small"), n_classes=3, n_terms=14)
