"""Dates as spans of years with trust, order between parts, and exact inference over both."""
