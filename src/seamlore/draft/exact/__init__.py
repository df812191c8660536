"""Exact numbers and exact outlines: nothing is rounded here."""
