"""Two editions in two columns, with few crossings, and the picture of their distances."""
