"""The page on drafting beyond the page itself: its edits, its parts that are fetched alone, what an edit changed on it."""
