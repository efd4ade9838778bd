"""Numbers as people write them: lengths off a tape, and quantities with their units."""
