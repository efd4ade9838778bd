"""A wall from the room."""
