"""The optimizer, and what is solved with it: linear and whole-number programs. Deterministic."""
