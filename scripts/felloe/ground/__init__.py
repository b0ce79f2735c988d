"""What every stage stands on: terms with their ids, sorts, trees, tables, randomness, drawing."""
