"""Sheets to print: study sheet, pattern booklet, label."""
