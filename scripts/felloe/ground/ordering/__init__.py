"""The shortest circular order that a tree allows."""
