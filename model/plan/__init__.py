"""From what was said to all that follows from it."""
