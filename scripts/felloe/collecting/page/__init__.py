"""The pages that people sort on and pick colours on, and what is read of their answers."""
