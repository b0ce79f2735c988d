"""From the lexicon to the returned sorts: what each person is given, and what comes back."""
