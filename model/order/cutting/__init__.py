"""Cutting bars out of stock at least cost: numbers in, cuts out."""
