"""One function for each thing a user does; each only joins rooms."""
