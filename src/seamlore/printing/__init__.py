"""Pages from drawings and words; the only room that speaks to the document engine."""
