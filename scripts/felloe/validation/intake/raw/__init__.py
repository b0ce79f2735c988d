"""Tables as somebody else wrote them: CSV, spreadsheets, cells and characters."""
