"""Invented example jobs that ship with the program: no real address, nobody's kitchen."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pelmet.model.job.job import Job

EXAMPLES = {
    "kitchen": "an L-shaped kitchen",
    "kitchen-with-pantry": "the same kitchen with a pantry added",
    "kitchen-proved-pantry-begun": "a kitchen built and proved, its pantry just begun",
}
"""By name, in words."""


def example_bytes(name: str) -> bytes:
    """Give the file of an example, by its name in ``EXAMPLES``."""
    from importlib.resources import files

    return files(__package__).joinpath(f"{name}.toml").read_bytes()


def read_example(name: str) -> "Job":
    """Give an example job, by its name in ``EXAMPLES``."""
    from pelmet.model.file.job.reading import read_job  # not loaded for the names alone

    return read_job(example_bytes(name), f"{name}.toml")
