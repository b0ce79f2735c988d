"""Every term's path through three editions and more."""
