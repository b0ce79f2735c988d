"""The published wheels of two editions side by side."""
