"""How tables, records, trees and settings are written and read; no stage has its own way."""
