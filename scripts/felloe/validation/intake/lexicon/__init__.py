"""What a study says of its words: terms, wordings, names, what became of older ones."""
