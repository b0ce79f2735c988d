"""The order around the circle, its gaps, and the map as a second opinion."""
