"""What a quilt takes, in words and diagrams."""
