"""The room as the tape found it: walls laid out, what stands in the way, clear openings."""
