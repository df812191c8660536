"""A draft or a block as it was asked for: read, put together, shown, understood, varied."""
