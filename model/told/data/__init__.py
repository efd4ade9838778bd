"""The plan as JSON, for other programs."""
