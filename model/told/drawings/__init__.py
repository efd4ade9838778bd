"""Drawings in text: plan, elevations, sections, charts."""
