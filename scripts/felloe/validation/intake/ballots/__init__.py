"""A ballot as it comes back, and what of it counts."""
