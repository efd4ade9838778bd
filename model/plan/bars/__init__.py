"""Openings to bars: how long each is cut, what of it is lit, how two meet round a corner."""
