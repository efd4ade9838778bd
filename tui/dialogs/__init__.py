"""Screens that ask one thing."""
