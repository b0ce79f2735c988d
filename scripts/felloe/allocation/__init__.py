"""Which terms are shown to whom, where nobody can sort the whole lexicon."""
