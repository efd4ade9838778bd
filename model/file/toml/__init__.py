"""TOML text to checked models, every fault with its line, and back."""
