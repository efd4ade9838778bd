"""Direct current through copper and strip: plain functions, plain floats in SI units."""
