"""Carrying a photograph from the first note to the recorded decision, and reckoning all that the pages said of it again."""
