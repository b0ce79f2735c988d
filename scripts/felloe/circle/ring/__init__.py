"""The ring: order, neighbours, gaps, pose, and its figure."""
