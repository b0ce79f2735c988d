"""Workbook, pages and report; the only place where numbers are rounded."""
