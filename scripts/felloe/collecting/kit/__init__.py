"""What is asked of whom: consent, the people invited, the words of each language, the order."""
