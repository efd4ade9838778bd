"""Two versions of a job: what they say differently, and what follows from it."""
