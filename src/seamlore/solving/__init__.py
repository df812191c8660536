"""The optimiser, and what is solved with it: linear and whole-number programs, placing fabrics. Deterministic."""
