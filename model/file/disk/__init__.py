"""The disk beneath: replacing, locking, who else runs, its errors in words."""
