"""People redrawn, trees of the redraws, and what these say of the tree and of its groups."""
