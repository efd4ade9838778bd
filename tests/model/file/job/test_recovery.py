"""What was not saved outlives a killed program, and is offered once to the next one."""

import errno
import os
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from draws import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import jobs

from pelmet.model.file.disk.processes import is_running, start_mark
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.recovery import (
    drop_recovery,
    find_recoveries,
    recovery_key,
    recovery_path,
    write_recovery,
)
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job, Site

# Invented.
JOB = Job(site=Site(name="Curlew Lane", note="# not a comment\nsecond line"))

# A program that keeps a job and then waits to be killed.
KEEPER = """
import os, sys, time
from pathlib import Path
from pelmet.model.file.job.recovery import write_recovery
from pelmet.model.job.job import Job, Site
write_recovery(Path(sys.argv[1]), Job(site=Site(name="kept")), Path("/x/k.toml"), "d", os.getpid())
print("kept", flush=True)
time.sleep(60)
"""


@pytest.fixture
def keeper(tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    with subprocess.Popen(
        [sys.executable, "-c", KEEPER, str(tmp_path)], stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout
        assert child.stdout.readline() == "kept\n"
        yield child
        child.kill()


def gone_pid() -> int:
    """Give the number of a process that has ended."""
    child = subprocess.Popen([sys.executable, "-c", ""])
    child.wait()
    return child.pid


def test_a_killed_program_loses_nothing(tmp_path: Path, keeper: subprocess.Popen[str]) -> None:
    keeper.kill()
    keeper.wait()
    (found,), set_aside = find_recoveries(tmp_path)
    assert found.job.site.name == "kept"
    assert found.original == Path("/x/k.toml")
    assert found.digest == "d"
    assert not set_aside


def test_a_program_killed_but_not_yet_buried_counts_as_ended(
    tmp_path: Path, keeper: subprocess.Popen[str]
) -> None:
    keeper.kill()
    os.waitid(os.P_PID, keeper.pid, os.WEXITED | os.WNOWAIT)  # ended, its number still taken
    assert len(find_recoveries(tmp_path).jobs) == 1


def test_the_job_of_a_running_program_is_left_to_it(
    tmp_path: Path, keeper: subprocess.Popen[str]
) -> None:
    assert find_recoveries(tmp_path) == ((), ())
    assert len(list(tmp_path.iterdir())) == 1


def test_a_number_used_again_by_another_program_hides_nothing(
    tmp_path: Path, keeper: subprocess.Popen[str]
) -> None:
    path = recovery_path(tmp_path, f"0123456789abcdef-{keeper.pid}-12")  # began at another time
    path.write_text(job_text(JOB))
    assert [found.path for found in find_recoveries(tmp_path).jobs] == [path]


def test_a_running_process_is_known_by_its_number_and_start(
    keeper: subprocess.Popen[str],
) -> None:
    mark = start_mark(keeper.pid)
    assert is_running(keeper.pid, mark)
    assert not is_running(keeper.pid, mark + "1")
    assert not is_running(keeper.pid, str(int(mark) + 300))  # hundredths of a second
    assert is_running(keeper.pid, str(int(mark) + 100))  # the clock was put right meanwhile
    assert not is_running(keeper.pid, "")
    assert not is_running(gone_pid(), mark)
    assert start_mark(gone_pid()) == "0"
    assert not is_running(0, "0")
    assert not is_running(2**40, "0")


def test_our_own_job_is_found_again(tmp_path: Path) -> None:
    path = write_recovery(tmp_path, JOB, None, None, os.getpid())
    (found,) = find_recoveries(tmp_path).jobs
    assert (found.path, found.job, found.original, found.digest) == (path, JOB, None, None)
    drop_recovery(path)
    drop_recovery(path)
    assert find_recoveries(tmp_path) == ((), ())


def test_one_job_in_one_program_has_one_file(tmp_path: Path) -> None:
    original = tmp_path / "kitchen.toml"
    for name in ("one", "two", "three"):
        path = write_recovery(tmp_path, Job(site=Site(name=name)), original, None, os.getpid())
    assert path == recovery_path(tmp_path, recovery_key(original, os.getpid()))
    assert list(tmp_path.iterdir()) == [path]
    assert load_job(path).site.name == "three"


def test_two_programs_keep_the_same_job_apart(tmp_path: Path) -> None:
    original = tmp_path / "kitchen.toml"
    write_recovery(tmp_path, JOB, original, None, os.getpid())
    write_recovery(tmp_path, JOB, original, None, gone_pid())
    assert len(find_recoveries(tmp_path).jobs) == 2


def test_the_latest_is_offered_first(tmp_path: Path) -> None:
    for age, pid in ((30, 0), (10, gone_pid()), (20, os.getpid())):
        job = Job(site=Site(name=f"{age}"))
        path = write_recovery(tmp_path, job, None, None, pid)
        os.utime(path, (1000 - age, 1000 - age))
    assert [found.job.site.name for found in find_recoveries(tmp_path).jobs] == ["10", "20", "30"]


def test_a_recovery_file_is_a_job_file_that_only_its_owner_reads(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    path = write_recovery(folder, JOB, Path("/x/k.toml"), "abc", os.getpid())
    assert load_job(path) == JOB
    assert path.read_text().startswith('# original = "/x/k.toml"\n# digest = "abc"\nschema = 1\n')
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


@pytest.mark.parametrize(
    "name", ["a b.toml", 'q"uote\\.toml', "new\nline.toml", "# x.toml", "Küche%20.toml", "\udcff"]
)
def test_any_name_of_the_original_comes_back(tmp_path: Path, name: str) -> None:
    original = tmp_path / name
    write_recovery(tmp_path / "kept", JOB, original, "d", os.getpid())
    (found,) = find_recoveries(tmp_path / "kept").jobs
    assert found.original == original


def test_a_relative_original_is_found_from_any_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    write_recovery(tmp_path / "kept", JOB, Path("kitchen.toml"), None, os.getpid())
    assert find_recoveries(tmp_path / "kept").jobs[0].original == tmp_path / "kitchen.toml"


def test_a_broken_file_is_set_aside_and_told_once(tmp_path: Path) -> None:
    good = write_recovery(tmp_path, JOB, None, None, os.getpid())
    bad = recovery_path(tmp_path, "0123456789abcdef-1234567-1")
    bad.write_bytes(b"schema = 1\nroom = \xff")
    (found,), (aside,) = find_recoveries(tmp_path)
    assert found.path == good
    assert not bad.exists()
    assert aside.path.read_bytes() == b"schema = 1\nroom = \xff"
    assert "not UTF-8" in str(aside.error)
    assert find_recoveries(tmp_path).set_aside == ()


def test_a_folder_or_a_pipe_in_the_way_stops_nothing(tmp_path: Path) -> None:
    recovery_path(tmp_path, "folder").mkdir()
    os.mkfifo(recovery_path(tmp_path, "pipe"))
    recovery_path(tmp_path, "link").symlink_to(tmp_path / "nowhere")
    write_recovery(tmp_path, JOB, None, None, os.getpid())
    found = find_recoveries(tmp_path)
    assert len(found.jobs) == 1
    assert len(found.set_aside) == 3


def test_a_broken_file_that_cannot_be_renamed_is_told_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad = recovery_path(tmp_path, "broken")
    bad.write_text("?")

    def refuse(*_: object) -> Path:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(Path, "replace", refuse)
    for _ in range(2):
        (aside,) = find_recoveries(tmp_path).set_aside
        assert aside.path == bad


def test_a_spoilt_header_costs_only_the_name_of_the_file(tmp_path: Path) -> None:
    path = recovery_path(tmp_path, "any")
    path.write_text(f"# original = 5\n# digest = [\n# what = \n{job_text(JOB)}")
    (found,) = find_recoveries(tmp_path).jobs
    assert (found.job, found.original, found.digest) == (JOB, None, None)
    path.write_text(f"# original = 5\n# digest = []\n{job_text(JOB)}")
    (found,) = find_recoveries(tmp_path).jobs
    assert (found.job, found.original, found.digest) == (JOB, None, None)


def test_no_folder_means_nothing_to_recover(tmp_path: Path) -> None:
    assert find_recoveries(tmp_path / "none") == ((), ())
    (tmp_path / "file").touch()
    assert find_recoveries(tmp_path / "file") == ((), ())


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(SaveError, match="not a folder"):
        write_recovery(tmp_path / "file" / "kept", JOB, None, None, os.getpid())


@pytest.mark.property
@settings(examples(30), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(job=jobs())
def test_any_job_is_recovered_as_it_was(tmp_path: Path, job: Job) -> None:
    write_recovery(tmp_path, job, Path("/x/k.toml"), "d", os.getpid())
    (found,) = find_recoveries(tmp_path).jobs
    assert found.job == job


@pytest.mark.property
@settings(examples(60), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    data=st.binary(max_size=300),
    key=st.text(st.characters(codec="utf-8", exclude_characters="/\0"), min_size=1, max_size=40),
)
def test_whatever_stands_in_the_folder_it_is_recovered_or_set_aside(
    tmp_path: Path, data: bytes, key: str
) -> None:
    path = recovery_path(tmp_path, key)
    path.write_bytes(data)
    found = find_recoveries(tmp_path)
    assert len(found.jobs) + len(found.set_aside) == 1
    for left in tmp_path.iterdir():
        left.unlink()
