"""Languages: the words of wheel, page and cards in each, and the chart in another."""
