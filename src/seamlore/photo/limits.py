"""What is opened, and what at the most: the program and the process that decodes agree on this."""

from __future__ import annotations

import struct

KINDS = "a photograph is a JPEG, PNG, TIFF, WebP or HEIC picture"

MOST_PIXELS = 120_000_000
# As it lies unpacked in memory before anything is made of it: 4 bytes a pixel for color, whatever the file has.
MOST_BYTES = 4 * MOST_PIXELS
# Below this no block of any quilt could be told from its neighbors.
LEAST_SIDE_PX = 64
# Twice the largest picture and half as much again: decoders hold it, what it is made from, and a strip of the answer.
MOST_MEMORY_BYTES = 1_600_000_000
# The largest pictures take 5 s of an ordinary processor; four programs may share it, and it may be old.
MOST_S = 60.0
# An answer is made of parts: a letter, how many bytes follow, and these.
PART = struct.Struct("<cI")
