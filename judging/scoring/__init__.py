"""How well things are read and dated: measures, tables, and the commands that print them."""
