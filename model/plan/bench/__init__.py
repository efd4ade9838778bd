"""What the bench must know of a bar before it is cut and hung: plain functions of lengths."""
