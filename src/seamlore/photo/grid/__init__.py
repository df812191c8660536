"""The block grid of a flattened quilt: what the network sees, every grid that fits, which is believed, its lines placed."""
