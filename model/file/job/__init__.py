"""The job file: read, saved, recovered; its JSON Schema."""
