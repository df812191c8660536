"""What a top becomes a quilt with: backing, filling, what holds the layers, edge finish, and what the materials cost."""
