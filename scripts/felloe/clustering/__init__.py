"""The tree of the terms and what supports it."""
