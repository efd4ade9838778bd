"""What the system refuses, in words."""

import errno

import pytest

from pelmet.model.file.disk.oswords import os_words


@pytest.mark.published
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (5, "you are not allowed to"),  # ERROR_ACCESS_DENIED
        (32, "another program holds this file"),  # ERROR_SHARING_VIOLATION
        (33, "another program holds this file"),  # ERROR_LOCK_VIOLATION
    ],
)
def test_a_file_that_a_program_has_open_on_windows_is_no_question_of_leave(number, words):
    """Microsoft, System Error Codes (0-499); Python gives errno EACCES for all three."""
    error = PermissionError(errno.EACCES, "Permission denied")
    error.winerror = number
    reason, remedy = os_words(error)
    assert reason == words
    assert remedy
