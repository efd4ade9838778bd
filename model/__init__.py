"""The planner's model: a job is read from a file, and a plan follows from it.

>>> from pelmet.model import load_job, plan_job
>>> plan = plan_job(load_job("model/examples/kitchen.toml"))
>>> [(bar.id, str(bar.length.value), bar.units.value) for bar in plan.bars][:1]
[('R1.1', '1389.25', 27)]
>>> sorted({finding.level for finding in plan.findings})
['ask', 'warn']
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pelmet.model.file.disk.unsaved import SaveError
    from pelmet.model.file.job.reading import load_catalogue, load_job
    from pelmet.model.file.job.saving import save_job
    from pelmet.model.file.toml.faults import FileError
    from pelmet.model.file.toml.writing import job_text
    from pelmet.model.job.catalogue import Catalogue
    from pelmet.model.job.job import Job
    from pelmet.model.plan.figure import Figure
    from pelmet.model.plan.finding import Finding
    from pelmet.model.plan.result import Plan
    from pelmet.model.plan.stages import plan_job

__all__ = [
    "Catalogue",
    "Figure",
    "FileError",
    "Finding",
    "Job",
    "Plan",
    "SaveError",
    "job_text",
    "load_catalogue",
    "load_job",
    "plan_job",
    "save_job",
]

_HOME = {
    "Catalogue": "job.catalogue",
    "Figure": "plan.figure",
    "FileError": "file.toml.faults",
    "Finding": "plan.finding",
    "Job": "job.job",
    "Plan": "plan.result",
    "SaveError": "file.disk.unsaved",
    "job_text": "file.toml.writing",
    "load_catalogue": "file.job.reading",
    "load_job": "file.job.reading",
    "plan_job": "plan.stages",
    "save_job": "file.job.saving",
}

if not TYPE_CHECKING:  # a type checker reads the imports above, and so knows a wrong name

    def __getattr__(name: str) -> object:
        """Import a name when it is first asked for: the package itself costs nothing."""
        if name not in _HOME:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        value = getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
        globals()[name] = value
        return value


def __dir__() -> list[str]:
    """List the public names only."""
    return sorted(__all__)
