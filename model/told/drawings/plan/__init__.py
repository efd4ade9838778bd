"""The plan from above, to scale."""
