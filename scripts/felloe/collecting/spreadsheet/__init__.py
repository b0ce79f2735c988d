"""The kit as a spreadsheet: written, and read as it comes back."""
