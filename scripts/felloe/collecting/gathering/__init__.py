"""What comes back, put together: returns read, judged, chosen, and written as a study's tables."""
