"""What readers get: the wheel, the report, the workbook, the vocabulary, the manifest."""
