"""Rectangles out of a length of fabric, cut edge to edge, with little waste and a proved bound."""
