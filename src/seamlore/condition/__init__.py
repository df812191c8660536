"""The state of an old quilt: notes drawn on its photographs, areas, fabric by fabric, what holds it, what is sound."""
