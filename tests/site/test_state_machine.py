"""Random edits, undo, redo, saving and loading: the document stays sound and shares what was not touched."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from survey_app.errors import UsageError
from survey_app.session import History
from survey_app.site import Site, check_references, edits
from survey_app.site.collection import COLLECTIONS, every_thing
from survey_app.site.edits import Edit
from survey_app.site.evidence import Evidence, Sight, WalkNote
from survey_app.site.file import site_from_bytes, site_to_bytes
from survey_app.site.mount import Mount
from survey_app.site.shape import fields_of
from survey_app.site.site import Design
from tests.site.full_site import MOMENT, at, full_site
from tests.site.random_sites import records, thing, values

_DESIGN = tuple(fields_of(Design))
_EVIDENCE = tuple(fields_of(Evidence))


class DocumentMachine(RuleBasedStateMachine):
    """One open document under random hands."""

    @initialize(full=st.booleans())
    def open(self, full: bool) -> None:
        site = full_site() if full else Site(design=Design(name="Yard", as_of=full_site().design.as_of))
        self.history = History(site)
        self.evidence = site.evidence
        self.fresh = 0
        self.saved = (site, site_to_bytes(site))

    def _apply(self, edit: Edit) -> None:
        """Apply an edit and check that only what it touched is new."""
        before = self.history.current
        after = self.history.apply(edit)
        touched = set(edit.touched)
        for collection in COLLECTIONS:
            old, new = getattr(before.design, collection.name), getattr(after.design, collection.name)
            if old is new:
                continue
            old_rows = {row.id: row for row in old}
            assert any(row.id in touched for row in (*old, *new)), collection.name
            for row in new:
                if row.id not in touched:
                    assert row is old_rows[row.id]
        changed = {name for name in _DESIGN if getattr(before.design, name) is not getattr(after.design, name)}
        kept = set(_DESIGN) - changed
        assert all(getattr(after.design, name) is getattr(before.design, name) for name in kept)

    def _try(self, make: Any, *arguments: Any, **more: Any) -> None:
        """Make an edit and apply it; one that is refused leaves everything as it is."""
        before = self.history.current
        try:
            edit = make(before, *arguments, **more)
        except UsageError:
            assert self.history.current is before
        else:
            self._apply(edit)

    def _ids(self, *, also: tuple[str, ...] = ()) -> list[str]:
        return [one.id for _, _, one in every_thing(self.history.current.design)] + list(also)

    @rule(data=st.data())
    def add_something(self, data: st.DataObject) -> None:
        rows = {
            collection.name: list(getattr(self.history.current.design, collection.name)) for collection in COLLECTIONS
        }
        rows["gear"] = list(self.history.current.design.gear)
        record = data.draw(st.sampled_from([record for collection in COLLECTIONS for record in collection.records]))
        self.fresh += 1
        new = thing(data.draw, record, f"n{self.fresh}", rows)
        if new is not None:
            self._try(edits.add, new)

    @rule(data=st.data())
    def add_gear_type(self, data: st.DataObject) -> None:
        record = data.draw(st.sampled_from(list(dict.fromkeys(fields_of(Design)["gear"].records.values()))))
        self.fresh += 1
        self._try(edits.add_gear, data.draw(records(record, {"id": f"g{self.fresh}"})))

    @rule(data=st.data())
    def change_something(self, data: st.DataObject) -> None:
        found = [one for _, _, one in every_thing(self.history.current.design)]
        if found:
            one = data.draw(st.sampled_from(found))
            names = [name for name in fields_of(type(one)) if name not in ("id", "kind", "file", "photo")]
            name = data.draw(st.sampled_from(names))
            self._try(edits.change, one.id, **{name: data.draw(values(fields_of(type(one))[name]))})

    @rule(data=st.data(), cascade=st.booleans())
    def remove_something(self, data: st.DataObject, cascade: bool) -> None:
        if ids := self._ids():
            self._try(edits.remove, data.draw(st.sampled_from(ids)), cascade=cascade)

    @rule(data=st.data())
    def rename_something(self, data: st.DataObject) -> None:
        if ids := self._ids():
            new = data.draw(st.sampled_from([*ids, "other", "not an id", "gone-hop"]))
            self._try(edits.rename, data.draw(st.sampled_from(ids)), new)

    @rule(data=st.data(), dx_m=st.sampled_from([0.0, 1.5, -20.0]))
    def move_something(self, data: st.DataObject, dx_m: float) -> None:
        if ids := self._ids():
            self._try(edits.move_by, data.draw(st.sampled_from(ids)), dx_m=dx_m, dy_m=2.0)

    @rule(data=st.data(), corner=st.integers(0, 4))
    def change_corners(self, data: st.DataObject, corner: int) -> None:
        if ids := self._ids():
            one = data.draw(st.sampled_from(ids))
            if data.draw(st.booleans()):
                self._try(edits.insert_corner, one, corner, at(3.0, 4.0))
            else:
                self._try(edits.remove_corner, one, corner)

    @rule(data=st.data(), angle_deg=st.sampled_from([0.0, 15.0, -90.0, 33.3]))
    def turn_some(self, data: st.DataObject, angle_deg: float) -> None:
        if ids := self._ids():
            some = data.draw(st.lists(st.sampled_from(ids), min_size=1, max_size=4))
            self._try(edits.rotate, some, angle_deg, at(3.0, -4.0))

    @rule(data=st.data(), how=st.sampled_from(["left", "top", "middle_x"]), axis=st.sampled_from(["x", "line"]))
    def put_some_in_line(self, data: st.DataObject, how: Any, axis: Any) -> None:
        if ids := self._ids():
            some = data.draw(st.lists(st.sampled_from(ids), min_size=1, max_size=5))
            self._try(edits.align, some, how)
            self._try(edits.distribute, some, axis)

    @rule(data=st.data(), edge=st.integers(0, 4), offset_m=st.sampled_from([0.5, -0.25]))
    def move_an_edge(self, data: st.DataObject, edge: int, offset_m: float) -> None:
        if ids := self._ids():
            self._try(edits.move_edge, data.draw(st.sampled_from(ids)), edge, offset_m)

    @rule(data=st.data(), locked=st.booleans())
    def lock_or_unlock(self, data: st.DataObject, locked: bool) -> None:
        if ids := self._ids():
            some = data.draw(st.lists(st.sampled_from(ids), min_size=1, max_size=3, unique=True))
            self._try(edits.set_locked, some, locked)

    @rule(data=st.data())
    def copy_some(self, data: st.DataObject) -> None:
        # a copy of copies of copies would grow without end
        if (ids := self._ids()) and len(ids) < 60:
            some = data.draw(st.lists(st.sampled_from(ids), min_size=1, max_size=2, unique=True))
            self._try(edits.duplicate, some, 2.5, 0.0)
            self._try(self._copied_and_pasted, some)

    @staticmethod
    def _copied_and_pasted(site: Site, ids: list[str]) -> Edit:
        return edits.paste(site, edits.copy_things(site, ids), dx_m=-1.0)

    @rule(data=st.data())
    def hang_on_another_mount(self, data: st.DataObject) -> None:
        mounts = [one.id for one in self.history.current.design.mounts if isinstance(one, Mount)]
        if mounts:
            self._try(edits.hang, data.draw(st.sampled_from(self._ids())), data.draw(st.sampled_from(mounts)))

    @rule(data=st.data())
    def join_two_radios(self, data: st.DataObject) -> None:
        radios = [one.id for one in self.history.current.design.radios]
        if len(radios) > 1:
            self._try(edits.join, data.draw(st.sampled_from(radios)), data.draw(st.sampled_from(radios)))

    @rule(data=st.data())
    def replace_gear(self, data: st.DataObject) -> None:
        gear = [row.id for row in self.history.current.design.gear]
        if gear:
            pick = st.sampled_from(gear)
            self._try(edits.replace_gear_type, data.draw(pick), data.draw(pick))

    @rule(region=st.sampled_from(["US", "EU", "gb"]), crew=st.integers(1, 4))
    def set_the_site(self, region: str, crew: int) -> None:
        self._try(edits.set_region, region)
        self._try(edits.set_defaults, crew=crew)

    @rule(data=st.data())
    def note_evidence(self, data: st.DataObject) -> None:
        hops = [hop.id for hop in self.history.current.design.hops]
        row = (
            Sight(at=MOMENT, by="me", hop=data.draw(st.sampled_from(hops)), result="seen")
            if hops
            else WalkNote(at=MOMENT, by="me", words="fog")
        )
        self._try(edits.add_evidence, row)

    @rule()
    def undo(self) -> None:
        if self.history.undo_label is not None:
            self.history.undo()

    @rule()
    def redo(self) -> None:
        if self.history.redo_label is not None:
            self.history.redo()

    @rule()
    def undo_all_and_redo_all(self) -> None:
        design, steps = self.history.current.design, len(self.history.labels)
        for _ in range(steps):
            self.history.undo()
        for _ in range(steps):
            self.history.redo()
        assert self.history.current.design is design

    @rule()
    def save_and_load(self) -> None:
        data = site_to_bytes(self.history.current)
        loaded = site_from_bytes(data, "site.json")
        assert loaded == self.history.current
        self.history.mark_saved()
        self.saved = (self.history.current, data)

    @rule()
    def close_and_open_again(self) -> None:
        loaded = site_from_bytes(site_to_bytes(self.history.current), "site.json")
        self.history = History(loaded)

    @invariant()
    def the_document_is_sound(self) -> None:
        site = self.history.current
        assert check_references(site) == ()
        # the whole through its own constructors: nothing slipped past them
        assert Site.model_validate_json(site_to_bytes(site)) == site

    @invariant()
    def evidence_only_grows(self) -> None:
        evidence = self.history.current.evidence
        for name in _EVIDENCE:
            old, new = getattr(self.evidence, name), getattr(evidence, name)
            assert new[: len(old)] == old
        self.evidence = evidence

    @invariant()
    def earlier_values_never_change(self) -> None:
        site, data = self.saved
        assert site_to_bytes(site) == data


TestDocument = DocumentMachine.TestCase
# told as it was found: each step reads and writes a whole document, and looking for a shorter way takes minutes
TestDocument.settings = settings(
    max_examples=25,
    stateful_step_count=25,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
