"""Where each term sits, how firmly, and what the committee settled."""
