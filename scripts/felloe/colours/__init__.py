"""The colour of every class, subclass and term."""
