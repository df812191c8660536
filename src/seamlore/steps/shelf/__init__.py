"""The collection: what is found and compared on the shelf, what leaves it and what comes back."""
