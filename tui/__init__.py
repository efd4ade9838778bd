"""The full-screen wizard and the command line."""
