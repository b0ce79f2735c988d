"""How many more people would settle the question, from studies drawn like this one."""
