"""The user's store of off-cuts as a file."""
