"""The word `plan`: what a study would be like, and who is shown which terms, before its data."""
