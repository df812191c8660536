"""What a block is called, and how it may lie without looking different."""
