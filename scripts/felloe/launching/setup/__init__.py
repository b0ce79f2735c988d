"""The environment: made from the lock, shared by runs, and what is said where that fails."""
