"""What a block, a quilt, a photograph with its block grid, a strip to cut and a patch template look like."""
