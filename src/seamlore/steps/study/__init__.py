"""A study's inputs, and everything that follows from them, each step once."""
