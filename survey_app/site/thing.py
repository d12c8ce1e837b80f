"""What every thing of a site has: an id, a name, a state."""

from typing import Annotated, Literal

from survey_app.site.record import Day, Id, Name, Record, Text, said

__all__ = ["Environment", "Permission", "Status", "Thing"]

Status = Literal["existing", "planned", "ordered", "hung", "accepted", "removed", "later"]
Environment = Literal["outdoors", "sheltered", "indoors"]


class Thing(Record):
    """Common part of everything that has an id in a site."""

    id: Annotated[Id, said("Short slug, unique in the site")]
    name: Annotated[Name, said("What people call it; empty = its id")] = ""
    status: Annotated[Status, said("State of the thing in the job")] = "planned"
    later_date: Annotated[Day | None, said("When a `later` thing is meant to come")] = None
    note: Annotated[Text, said("Free remark")] = ""
    locked: Annotated[bool, said("May not be moved or removed until it is unlocked")] = False

    @property
    def title(self) -> str:
        """The name for people: `name`, or the id where no name was given."""
        return self.name or self.id


class Permission(Record):
    """Whether the owner agrees to something hanging here."""

    state: Annotated[
        Literal["not_needed", "not_asked", "asked", "granted", "refused"], said("State of the owner's permission")
    ] = "not_asked"
    on: Annotated[Day | None, said("Date of the answer")] = None
    by: Annotated[Name, said("Who answered")] = ""
    conditions: Annotated[Text, said("Conditions of the permission")] = ""
