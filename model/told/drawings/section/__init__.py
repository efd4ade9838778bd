"""A cut through a cabinet, with its light."""
