"""Arrays in, arrays or frozen dataclasses out; no files, no plots, no printing."""
