"""Sizes: for a bed, beside the customs of the trade, and the same quilt with others."""
