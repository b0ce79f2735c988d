"""From a study's folder to checked data: every fault of every file in one run."""
