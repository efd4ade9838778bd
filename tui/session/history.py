"""The way back: the job as accepted, as it is being typed, what can be undone and done again."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Self

from pelmet.model.job.job import Job

_DEPTH = 1000


@dataclass(frozen=True, slots=True)
class History:
    """A job on its way through a session; ``job`` is shown, and differs while one types."""

    job: Job
    accepted: Job
    past: tuple[Job, ...] = ()
    future: tuple[Job, ...] = ()

    @classmethod
    def of(cls, job: Job) -> Self:
        """Begin with a job."""
        return cls(job, job)

    @property
    def is_trying(self) -> bool:
        """Whether something is tried that was not accepted yet."""
        return self.job != self.accepted

    def trying(self, job: Job) -> Self:
        """Show another job in place of the accepted one."""
        return replace(self, job=job)

    def reverted(self) -> Self:
        """Drop what is being tried."""
        return replace(self, job=self.accepted)

    def kept(self) -> Self:
        """Make what is being tried a step that can be undone; nothing can be done again after."""
        if not self.is_trying:
            return self.reverted()
        return type(self)(self.job, self.job, (*self.past[-_DEPTH:], self.accepted))

    def beneath(self, change: Callable[[Job], Job]) -> Self:
        """Make a step of a change to the accepted job; what is being tried is tried on that."""
        kept = self.reverted().trying(change(self.accepted)).kept()
        return kept.trying(change(self.job)) if self.is_trying else kept

    def undone(self) -> Self:
        """Drop what is being tried, or else take the last step back."""
        if self.is_trying or not self.past:
            return self.reverted()
        job = self.past[-1]
        return type(self)(job, job, self.past[:-1], (*self.future, self.accepted))

    def redone(self) -> Self:
        """Do again what was taken back last."""
        if not self.future:
            return self
        job = self.future[-1]
        return type(self)(job, job, (*self.past, self.accepted), self.future[:-1])
