"""The map as a second opinion: scaling, its evidence, its figures."""
