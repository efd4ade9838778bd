"""The job file: read, checked, written, never lost."""
