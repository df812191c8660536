"""Drawings that follow from a number: which there are, and how each is drawn."""
