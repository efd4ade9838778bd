"""What is said of a file that could not be written."""

from pathlib import Path

from pelmet.model.refusal import SHOWN_PATH, Refusal, escaped, refusal_text


class SaveError(Refusal):
    """A file that was not saved, and is as it was: a job, the store of off-cuts, a paper."""

    def __init__(self, path: Path, reason: str, remedy: str = "") -> None:
        super().__init__(reason, escaped(str(path), SHOWN_PATH), remedy)

    def __str__(self) -> str:
        return refusal_text(self, f"{self.place}: not saved")
