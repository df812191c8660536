"""The two texts that a quilter reads and writes: block files and draft files."""
