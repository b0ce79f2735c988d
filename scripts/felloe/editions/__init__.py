"""Two editions of a vocabulary compared."""
