"""Quilts with known truth, and the command that judges how well they are read. For developers; not installed."""
