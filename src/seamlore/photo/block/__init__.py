"""The piecing of the blocks: laid on each other, their seams asked of all copies, turns and odd ones told."""
