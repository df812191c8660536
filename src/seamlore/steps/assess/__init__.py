"""Assess: what state the old quilt is in, from the notes on its photographs."""
