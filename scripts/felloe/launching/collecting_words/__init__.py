"""The words `kit`, `gather` and `withdraw`: a study from its lexicon to the returned sorts."""
