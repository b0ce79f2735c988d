"""How every product says that its chart is provisional, each once."""

PROVISIONAL = (
    "PROVISIONAL: it cannot be told from these sorts whether the populations may be pooled."
)
MARK = "provisional"  # where there is room for a word


def marked(title: str, provisional: bool) -> str:
    """Return a title with the mark where the chart is provisional."""
    return f"{title} ({MARK})" if provisional else title


def marked_first(title: str, provisional: bool) -> str:
    """Return a title that may be cut at its end, with the mark before it."""
    return f"({MARK}) {title}" if provisional else title
