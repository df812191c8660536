"""Read an old patchwork quilt, and make the next thing from it."""

__version__ = "0.1.0"
