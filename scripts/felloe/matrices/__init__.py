"""Who put two terms together, who placed both, and the distances that follow."""
