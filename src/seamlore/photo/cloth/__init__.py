"""Cloth known again: cut from a photograph at one scale, described, held against other cloth."""
