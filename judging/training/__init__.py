"""How the three networks were trained, and how they are trained again."""
