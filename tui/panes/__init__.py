"""A session as rows of text."""
