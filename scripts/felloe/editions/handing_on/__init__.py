"""What became of every word, for members and for machines."""
