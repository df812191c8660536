"""How the two networks were trained, and how they are trained again."""
