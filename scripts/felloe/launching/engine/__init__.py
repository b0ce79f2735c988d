"""The engine at work: its events, locks, signals, and what is told of a failure."""
