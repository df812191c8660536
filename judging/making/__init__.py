"""How well what is made comes out: little waste, patches well placed and pressed, booklets that say all that is sewn."""
