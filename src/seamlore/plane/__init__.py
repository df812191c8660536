"""Plane geometry of outlines: area, seam allowance, cover test. Float arrays, x right, y down."""
