"""Two folders of results compared: what differs, where it comes from, what follows for a reader."""
