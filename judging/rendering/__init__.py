"""Quilts that never were: sewn, laid out, worn and photographed by rule, with their truth."""
