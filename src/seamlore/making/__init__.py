"""What a draft takes: cutting list, strips, fabric to buy, backing, filling, edge finish."""
