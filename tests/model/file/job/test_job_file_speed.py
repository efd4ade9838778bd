"""How long a job of thirty runs takes to read, write and keep; run with --benchmark-enable."""

import os
from pathlib import Path
from typing import Any

import pytest

from pelmet.model.file.job.reading import read_job
from pelmet.model.file.job.recovery import write_recovery
from pelmet.model.file.job.saving import save_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job


@pytest.fixture(scope="module")
def job() -> Job:
    """Thirty runs under ninety cabinets; invented."""
    size = {"width": 600, "depth": 320, "bottom_height": 1400, "opening": [564, 563, 564]}
    return Job.model_validate(
        {
            "rooms": [{"id": "K", "name": "Kitchen"}],
            "walls": [{"id": f"W{row}", "room": "K", "length": 3000} for row in range(30)],
            "cabinets": [
                {"id": f"C{row}", "wall": f"W{row % 30}", "at": row // 30 * 600, **size}
                for row in range(90)
            ],
            "runs": [
                {
                    "id": f"R{row}",
                    "cabinets": [f"C{row + 30 * place}" for place in range(3)],
                    "leg": f"L{row}",
                }
                for row in range(30)
            ],
            "supplies": [{"id": f"S{row}", "cabinet": f"C{row}"} for row in range(10)],
            "legs": [{"id": f"L{row}", "supply": f"S{row % 10}"} for row in range(30)],
        }
    )


def test_reading_thirty_runs(job: Job, benchmark: Any) -> None:
    data = job_text(job).encode()
    assert benchmark(read_job, data, "kitchen.toml") == job


def test_writing_thirty_runs(job: Job, benchmark: Any) -> None:
    assert benchmark(job_text, job).count("[[run]]") == 30


def test_keeping_thirty_runs(job: Job, benchmark: Any, tmp_path: Path) -> None:
    benchmark(write_recovery, tmp_path, job, None, None, os.getpid())
    assert len(list(tmp_path.iterdir())) == 1


def test_saving_thirty_runs(job: Job, benchmark: Any, tmp_path: Path) -> None:
    benchmark(save_job, job, tmp_path / "kitchen.toml", None, overwrite=True)
    assert (tmp_path / "kitchen.toml").exists()


def test_telling_the_faults_of_thirty_runs(job: Job, benchmark: Any) -> None:
    data = job_text(job).replace("width = 600", 'width = "wide"').encode()

    def refused() -> str:
        with pytest.raises(Exception, match="wide") as caught:
            read_job(data, "kitchen.toml")
        return str(caught.value)

    assert "and 40 more" in benchmark(refused)
