"""Changes to a job, each a function from Job to Job."""
