"""One zip from which a study can be made anew, with the people in it or without."""
