"""Fabric at hand and fabric to buy: what there is of each, in which form, and what a shop sells."""
