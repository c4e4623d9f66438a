"""English words that are near the vocabulary and are left as typed."""

REAL_WORDS: frozenset[str] = frozenset()
