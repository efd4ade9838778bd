"""What papers are made of: each fact told once, as blocks, for every paper that takes it."""
