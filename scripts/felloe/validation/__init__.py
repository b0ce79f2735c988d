"""From a study's folder to checked sorts, who is analysed and why, and how stable the sorts are."""
