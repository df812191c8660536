"""How well things are read, dated and placed: measures, tables, and the commands that print them."""
