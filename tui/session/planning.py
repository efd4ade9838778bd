"""The plan of the job in hand, and what of it is left for a little later."""

from typing import Final

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import Unplanned, plan_job, plan_steps, take_apart

_AT_ONCE: Final = 40  # cabinets that are planned anew within a key; more come a little later


class Planning:
    """A plan that follows a job, behind it by what takes longer than a key may."""

    def __init__(self, job: Job, parts: Catalogue) -> None:
        self._parts = parts
        self.plan: Plan = plan_job(job, parts)
        self.behind: Unplanned | None = None

    def follow(self, job: Job, *, may_wait: bool) -> bool:
        """Plan a job; tell whether that is done, or left for later because it takes long."""
        before = self.behind
        self.behind = take_apart(job, self._parts)
        try:
            return not (may_wait and self.behind.effort > _AT_ONCE) and self.catch_up()
        except Exception:
            self.behind = before
            raise

    def catch_up(self) -> bool:
        """Plan at once what was left for later; tell whether anything was."""
        if self.behind is None:
            return False
        *_, plan = plan_steps(self.behind)
        return plan is not None and self.take(plan)

    def take(self, plan: Plan) -> bool:
        """Take a plan that was worked out meanwhile, unless it is of an older job."""
        if self.behind is None or plan.job is not self.behind.job:
            return False
        self.plan, self.behind = plan, None
        return True
