"""From a photograph to a reading: the only room that opens pictures."""
