"""The ballot: open questions with their evidence and prices, as a page and a spreadsheet."""
