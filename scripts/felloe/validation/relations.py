"""How terms of two editions stand to each other, as `crosswalk.csv` says it."""

EXACT, RENAMED, REDEFINED = "exact", "renamed", "redefined"
SPLIT, MERGED = "split", "merged"
RETIRED, NEW = "retired", "new"
RELATIONS = (EXACT, RENAMED, REDEFINED, SPLIT, MERGED, RETIRED, NEW)
ONE_TO_ONE = (EXACT, RENAMED, REDEFINED)  # what indices, tests and matrices are computed on
REASONED = (REDEFINED, SPLIT, MERGED, RETIRED)  # nobody reads these off the words
SUGGESTED = "suggested"  # stands for a reason where nobody has decided yet
