"""A picture as shapes at true scale, and what is made of it: SVG, a written record, tiles of a page."""
