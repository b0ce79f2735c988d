"""Felloe: from the raw sorts of a vocabulary study to a wheel with its evidence."""

__version__ = "0.1.0"
