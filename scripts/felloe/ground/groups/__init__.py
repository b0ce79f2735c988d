"""Groups of terms: trees, the groups that they are cut into, and how two divisions agree."""
