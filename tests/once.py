"""What was worked out of photographs, kept for all tests that one process runs: it rests on content alone."""

from seamlore.steps.study.memo import Memo

MEMO = Memo()
