"""What others go on working with: the vocabulary, the workbook, the colours."""
