"""What the commands do: each acts on the wizard at once, or says why it cannot."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from pelmet.tui.dialogs.pickers import Picker
from pelmet.tui.panes.line import lines
from pelmet.tui.session.outline import SINCE_GIVEN
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import PAPERS, Step
from pelmet.tui.wizard.building import Building
from pelmet.tui.wizard.host import Host
from pelmet.tui.wizard.keeping import Keeping
from pelmet.tui.wizard.offcuts import OffCuts
from pelmet.tui.wizard.options import offer_options, propose_feeding
from pelmet.tui.wizard.papers import Papers
from pelmet.tui.wizard.walking import Walking

if TYPE_CHECKING:
    from pelmet.tui.dialogs.explain import HelpRow

_MOST_NAMED: Final = 5  # of what is built, in a question


class Actions:
    """The commands of one wizard; the table that names them says which key gives which."""

    def __init__(
        self,
        host: Host,
        keeping: Keeping,
        walking: Walking,
        offcuts: OffCuts,
        papers: Papers,
        building: Building,
    ) -> None:
        self._host = host
        self._keeping, self._walking, self._offcuts = keeping, walking, offcuts
        self._papers, self._building = papers, building

    @property
    def session(self) -> Session:
        """What the wizard holds."""
        return self._host.session

    # Looking and going

    def help(self, moves: "Sequence[HelpRow]", commands: "Sequence[HelpRow]") -> None:
        """Show the help of this place."""
        from pelmet.tui.dialogs.explain import help_page

        self._host.ask(help_page(self.session, moves, commands), lambda _: None)

    def go_to_step(self, step: Step) -> None:
        """Go to a step."""
        self.session.go(step)
        self._host.load()

    def walk(self) -> None:
        """Walk the drawing."""
        self._walking.begin()

    def swap(self) -> None:
        """Swap form and plan on a narrow screen."""
        if not self._host.swap_panes():
            self._host.say("Form and plan stand side by side already", "dim")

    def why(self) -> None:
        """Show how the figures of this thing were worked out."""
        from pelmet.tui.dialogs.explain import why_picker

        picker = why_picker(self.session)
        if picker is None:
            self._host.say("No figures hang on this yet", "warn")
        else:
            self._host.ask(picker, lambda _: None)

    def findings(self) -> None:
        """List the findings and jump to what one is about."""
        from pelmet.tui.dialogs.explain import findings_picker

        found = self.session.findings

        def jump(at: int | None) -> None:
            if at is not None:
                self.session.go_to_finding(found[at])
                self._host.load()

        self._host.ask(findings_picker(self.session), jump)

    # Changing the job

    def add_next(self) -> None:
        """Add the next thing; a revision once it is known what is void."""
        if self.session.needs_void:
            self._papers.once_known(self.add_next)
            return
        if self.session.adds == "revision":
            self._papers.revise()
            return
        self.session.add_next()
        self._host.changed()

    def add_above(self) -> None:
        """Add the next wall, room or supply."""
        self.session.add_above()
        self._host.changed()

    def propose(self) -> None:
        """Take the step's proposal; ways to feed are tried out first, beside the keys."""
        search = self.session.feeding
        if search is None:
            self._host.changed(self.session.propose())
        else:
            propose_feeding(self._host, search)

    def remove(self) -> None:
        """Remove the thing one stands on; asks first if anything was noted of it as built."""
        found, plan = self.session.removal, self.session.plan

        def remove(at: int | None) -> None:
            if at == 1 and self.session.plan is plan:
                gone = self.session.remove_here()
                self._host.changed(f"{gone} removed; Ctrl+Z brings it back")

        if not found.noted:
            remove(1)
            return
        words = ", ".join(found.noted[:_MOST_NAMED])
        more = len(found.noted) - _MOST_NAMED
        title = f"{found.gone} is built: {words}{f' and {more} more' if more > 0 else ''}."
        rows = (
            "Leave it; Ctrl+F lets a run go back, with a reason",
            f"Remove {found.gone}, and what was noted of it",
        )
        self._host.ask(Picker(title, lines(rows)), remove)

    def undo(self) -> None:
        """Take back the last change."""
        self.session.undo()
        self._host.changed("Taken back")

    def redo(self) -> None:
        """Do again what was taken back."""
        again = self.session.can_redo  # what was being typed may just have become a change
        self.session.redo()
        self._host.changed("Done again" if again else "Nothing was taken back")

    def options(self) -> None:
        """List what else could be chosen here, and take one; in Papers mostly the off-cuts."""
        if self.session.place.id == SINCE_GIVEN:
            self._papers.pick_given()
            return
        if self.session.place.step is PAPERS:
            self._offcuts.offer()
            return
        offer_options(self._host)

    # Handing over

    def built(self) -> None:
        """Note how far runs have come."""
        self._building.offer()

    def standing(self) -> None:
        """List how the job stands."""
        from pelmet.tui.wizard.handing import show_standing

        show_standing(self._host)

    def hand_over(self) -> None:
        """Write the whole job into one file."""
        from pelmet.tui.wizard.handing import hand_over

        hand_over(self._host)

    # The file

    def save(self) -> None:
        """Save the job."""
        self._keeping.save()

    def save_as(self) -> None:
        """Save the job under another name."""
        self._keeping.save_as()

    def open(self) -> None:
        """Open another job."""
        self._keeping.open()

    def quit(self) -> None:
        """Leave, never losing anything."""
        self._keeping.quit()
