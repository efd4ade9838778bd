"""The form of the thing one stands on: its fields, and what each asks and shows."""

from typing import NamedTuple

from pelmet.model.edit.answer import echo, field_text
from pelmet.model.edit.change import Subject
from pelmet.model.edit.question import Question, options, question_for
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import KINDS, Item
from pelmet.model.job.job import Job
from pelmet.tui.session.place import Place


class Form(NamedTuple):
    """A form as the job is now; without fields where one stands on nothing that is listed."""

    job: Job
    parts: Catalogue
    place: Place
    listed: bool

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields of the form."""
        return self.place.form if self.listed else ()

    @property
    def kind(self) -> Subject | None:
        """The kind of thing the form is about, if it is one of the job's."""
        kind = self.place.kind
        if kind == "paper" or kind == "bar" or not self.fields:
            return None
        return kind

    @property
    def here(self) -> Item | None:
        """The thing one stands on, if it is one with an id."""
        kind = self.place.kind
        return self.job.find(kind, self.place.id) if kind in KINDS and self.fields else None

    @property
    def question(self) -> Question | None:
        """How to ask for the field one stands in."""
        return self.question_of(self.place.field)

    def question_of(self, field: str) -> Question | None:
        """How to ask for a field."""
        return question_for(self.kind, field) if self.kind else None

    def shown(self, field: str) -> str:
        """A field's value as it would be typed."""
        return field_text(self.job, self.kind, self.place.id, field) if self.kind else ""

    def listed_as(self, field: str) -> str:
        """A field's value as a list of them shows it: in inches too, where that is not exact."""
        text = self.shown(field)
        inexact = text.removesuffix("?").endswith(" mm") and self.job.site.length_unit == "in"
        return f"{self.echo(field).partition(',')[0]} ({text})" if inexact else text

    def echo(self, field: str) -> str:
        """How a reading was understood."""
        return echo(self.job, self.kind, self.place.id, field) if self.kind else ""

    def choices(self) -> tuple[str, ...]:
        """What can be chosen for the field one stands in."""
        question = self.question
        if question is None:
            return ()
        found = options(question, self.job, self.parts)
        now = self.shown(question.field)  # it may name a part that no catalogue holds any more
        return found if now in found else (now, *found)
