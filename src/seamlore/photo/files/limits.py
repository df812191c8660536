"""What is opened, and what at the most: the program and the process that decodes agree on this."""

from __future__ import annotations

import struct

KINDS = "a photograph is a JPEG, PNG, TIFF, WebP or HEIC picture"

# Unpacked in memory, before anything is made of it.
MOST_BYTES = 480_000_000
# While it is decoded a pixel takes 4 bytes at the most, whatever the file has.
MOST_PIXELS = MOST_BYTES // 4
# Below this no block of any quilt could be told from its neighbors.
LEAST_SIDE_PX = 64
# Decoders hold the largest picture, and some twice as much again that it is made from (docs/decisions/0005).
MOST_MEMORY_BYTES = 1_600_000_000
# The largest pictures take 5 s of an ordinary processor; four programs may share it, and it may be old.
MOST_S = 60.0
# An answer is made of parts: a letter, how many bytes follow, and these.
PART = struct.Struct("<cI")
