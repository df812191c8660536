"""Which fabric goes into which scrappy patch: solved, with what is proved about it, or why it cannot be."""
