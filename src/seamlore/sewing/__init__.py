"""From a draft to the order in which it is sewn."""
