"""Who took part, who was shown what, and who put it where."""
