"""What may be wrong with a study's files: every fault of every file in one run."""
