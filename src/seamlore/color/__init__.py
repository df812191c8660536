"""Color as the eye measures it: CIELAB, color difference, the gray scale, light-medium-dark. No pictures."""
