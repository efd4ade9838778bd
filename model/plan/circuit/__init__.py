"""Legs, supplies, control and protection, and what a meter should read."""
