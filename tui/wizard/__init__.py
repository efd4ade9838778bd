"""The full-screen wizard."""
