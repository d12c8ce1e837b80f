"""Any sequence of edits, undo, keeping, saving and crashes: no work that rested is lost, and the file is always whole."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from unittest.mock import patch

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from survey_app.errors import UsageError
from survey_app.session import ChangedBehindError, Document, orphans, recover
from survey_app.session.recovery import read_recovery
from survey_app.site import Design, Site, atomic, edits
from survey_app.site.evidence import WalkNote
from survey_app.site.file import read_site, write_site
from survey_app.site.structure import Pole
from tests.session.lives import aside, dead, kept, revised
from tests.site.full_site import DAY, MOMENT, at

# small: what is kept and when does not depend on how much it is
SMALL = Site(
    design=Design(name="Yard", as_of=DAY, structures=(Pole(kind="pole", id="p", position=at(1, 2), height_m=5.0),))
)


class PowerCutError(BaseException):
    """The process is gone in the middle of a write."""


def _cut(*_: object) -> None:
    raise PowerCutError


class Machine(RuleBasedStateMachine):
    """One site over several lives of the program, beside a model that only remembers values."""

    def __init__(self) -> None:
        super().__init__()
        self.root = Path(tempfile.mkdtemp())
        self.state = self.root / "state"
        self.lives = 0
        self.rested: list[Site] = []
        """Everything that ever rested and was neither saved over, taken back nor given up since."""

    def teardown(self) -> None:
        shutil.rmtree(self.root)

    @initialize(named=st.booleans())
    def begin(self, named: bool) -> None:
        self.path: Path | None = None
        self.values = 0
        if named:
            self.path = self.root / "yard" / "site.json"
            write_site(SMALL, self.path)
            self.document = self._opened()
        else:
            self.document = Document.new(SMALL, owner=self._next_life(), state_folder=self.state)
        self.disk = SMALL if named else None

    def _next_life(self):  # type: ignore[no-untyped-def]
        self.lives += 1
        return dead(self.lives)

    def _opened(self) -> Document:
        assert self.path is not None
        return Document.open(self.path, owner=self._next_life(), state_folder=self.state)

    # -- what a person does

    @rule()
    def edit(self) -> None:
        self.values += 1
        self.document.apply(revised(self.document.site, f"R{self.values}"))

    @rule()
    def note_evidence(self) -> None:
        self.values += 1
        row = WalkNote(at=MOMENT, by="me", words=f"number {self.values}")
        self.document.apply(edits.add_evidence(self.document.site, row))

    @rule(back=st.booleans())
    def go_back_or_forth(self, back: bool) -> None:
        labels = self.document.history.undo_label if back else self.document.history.redo_label
        before = self.document.site
        try:
            self.document.undo() if back else self.document.redo()
        except UsageError:
            assert labels is None
            assert self.document.site is before

    @rule()
    def rest(self) -> None:
        assert self.document.keep()
        self._has_rested()

    def _has_rested(self) -> None:
        site = self.document.site
        self.rested = [site] if self.document.needs_saving else []

    @rule(into=st.sampled_from(["yard", "yard/alternatives/a.json"]))
    def save(self, into: str) -> None:
        target = self.root / into if self.path is None else None
        try:
            file = self.document.save(target)
        except ChangedBehindError:
            assert read_site(self.path) == self.disk  # type: ignore[arg-type]
            return
        self._was_saved(file)

    @rule()
    def save_beside(self) -> None:
        if self.path is not None:
            self._was_saved(self.document.save_beside())

    def _was_saved(self, file: Path) -> None:
        self.path, self.disk, self.rested = file, self.document.site, []
        assert self.document.is_saved
        assert kept(self.state) == []

    @precondition(lambda self: self.path is not None)
    @rule()
    def somebody_else_writes(self) -> None:
        self.values += 1
        self.disk = revised(read_site(self.path), f"E{self.values}").after
        write_site(self.disk, self.path)

    # -- what happens to it

    @rule()
    def crash(self) -> None:
        self._come_back()

    @rule(saving=st.booleans(), late=st.booleans())
    def crash_while_writing(self, saving: bool, late: bool) -> None:
        before, saving = self.disk, saving and self.path is not None
        site, worth = self.document.site, self.document.needs_saving
        with patch.object(atomic, "_flush_folder" if late else "_replace", _cut):
            try:
                if saving:
                    self.document.save()
                else:
                    self.document.keep()
                    return  # nothing had to be written
            except ChangedBehindError:
                return
            except PowerCutError:
                if late and not saving and worth:
                    self.rested = [site]
        if self.path is not None:
            self.disk = read_site(self.path)
            assert self.disk in (before, site)
            if self.disk == site:
                self.rested = []
        self._come_back()

    def _come_back(self) -> None:
        """Start the program again and answer what it offers with yes."""
        if self.path is None:
            found = orphans(self.state)
            assert len(found) == len(self.rested)
            owner = self._next_life()
            if found:
                self.document = recover(found[0], owner=owner, state_folder=self.state)
                assert self.document.site == self.rested[0]
                self.document.keep()
            else:
                self.document = Document.new(SMALL, owner=owner, state_folder=self.state)
            return
        self.document = self._opened()
        assert not self.document.is_read_only
        offer = self.document.offer
        if offer is not None:
            assert self.rested == [offer.site]
            assert self.document.take_offer() == offer.site
        else:
            self._is_not_lost()
            self.rested = []

    def _is_not_lost(self) -> None:
        """What rested is in the file, or lies aside because the file had changed."""
        for site in self.rested:
            assert site == self.disk or any(read_recovery(file).site == site for file in aside(self.state))

    @rule()
    def close_and_open(self) -> None:
        self.document.close()
        assert kept(self.state) == []
        self.rested = []
        if self.path is None:
            self.document = Document.new(SMALL, owner=self._next_life(), state_folder=self.state)
        else:
            self.document = self._opened()
            assert self.document.offer is None

    # -- what always holds

    @invariant()
    def file_is_whole(self) -> None:
        if getattr(self, "path", None) is not None:
            assert read_site(self.path) == self.disk

    @invariant()
    def saved_means_saved(self) -> None:
        document = getattr(self, "document", None)
        if document is not None and document.is_saved and document.behind() is None:
            assert document.site == self.disk

    @invariant()
    def what_rested_can_be_read(self) -> None:
        if self.rested:
            (file,) = kept(self.state)
            assert read_recovery(file).site == self.rested[0]


TestAnySequence = Machine.TestCase
# told as it was found: every step writes files, and looking for a shorter way to the same fault takes minutes
TestAnySequence.settings = settings(
    max_examples=20,
    stateful_step_count=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
