"""Measured light distributions from LM-63 and EULUMDAT files."""
