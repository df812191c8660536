"""The collection: what is found, compared and noticed on the shelf."""
