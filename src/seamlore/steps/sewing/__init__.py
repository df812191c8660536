"""How a quilt or one block is sewn, in words: blocks, the top, templates, tools; the block lesson."""
