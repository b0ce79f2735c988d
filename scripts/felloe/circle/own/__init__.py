"""Each population's own chart."""
