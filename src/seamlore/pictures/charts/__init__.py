"""What is counted and reckoned, drawn: years as bands, figures of the shelf as bars, what stands out in a quilt."""
