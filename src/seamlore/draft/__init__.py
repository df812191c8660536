"""The exact quilt: patch, block, setting, edge finish; its notation, catalogue and names."""
