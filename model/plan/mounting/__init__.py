"""Bars at the wall: where each hangs, how it is carried, put in and held, cut for heat."""
