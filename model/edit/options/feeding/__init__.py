"""Whole ways to feed a run that nothing feeds yet, each planned, bought and priced with the job."""

from pelmet.model.edit.options.feeding.ranking import feeding_options, is_unfed
from pelmet.model.edit.options.feeding.taking import Fed, feed_runs

__all__ = ["Fed", "feed_runs", "feeding_options", "is_unfed"]
