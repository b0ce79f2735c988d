"""Cards for the tasting table: what stands on them, how it is set, the sheets and the page."""
