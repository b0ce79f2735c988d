"""The report of a study: pages that quote results, each number with the file it comes from."""
