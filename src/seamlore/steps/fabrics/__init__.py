"""Fabrics: those that the photograph tells apart, those of the draft, those at hand."""
