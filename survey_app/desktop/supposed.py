"""An event that is supposed: what was asked, and what is known of the answer by now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from survey_app.assess.what_if import Event, Spared, WhatIf

__all__ = ["REFUSAL", "Supposed"]

REFUSAL = "What if is shown: nothing is changed here. Esc leaves it."
"""Why no edit is taken while an event is supposed."""


@dataclass(frozen=True, slots=True)
class Supposed:
    """What the window shows instead of the site as it is.

    Attributes
    ----------
    event : Event
        What was asked.
    answer : WhatIf or None
        What the event does; None while it is worked out.
    spared : Spared or None
        The second way that is worth most; None where none was found, or not yet.
    is_seeking : bool
        Whether a second way is still looked for.
    trouble : str
        Why there is no answer, in a sentence.
    """

    event: Event
    answer: WhatIf | None = None
    spared: Spared | None = None
    is_seeking: bool = False
    trouble: str = ""

    @property
    def is_busy(self) -> bool:
        """Whether anything is still worked out."""
        return (self.answer is None and not self.trouble) or self.is_seeking
