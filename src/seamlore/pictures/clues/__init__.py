"""A small drawing for each datable feature."""
