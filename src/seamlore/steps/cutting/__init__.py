"""Cut: rectangles of each fabric laid out on the stash and on what is bought, in two plans; said, drawn and printed as data."""
