"""Where the quilt ends in its photograph: corners and edges, found by a trained network or by the ground."""
