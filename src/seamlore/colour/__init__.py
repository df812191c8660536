"""Colour as the eye measures it: CIELAB, colour difference, the grey scale, light-medium-dark. No pictures."""
