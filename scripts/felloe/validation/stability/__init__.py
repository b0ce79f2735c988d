"""How stable the sorts are, and what more people would add."""
