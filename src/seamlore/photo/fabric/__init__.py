"""Fabrics: one swatch a patch, the light evened out, what is alike gathered."""
