"""Site + gear + rules -> Assessment; the only place where site and physics meet.

`survey_app.assess(site)` is `survey_app.assess.pipeline.assess(site)`.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any

__all__: list[str] = []


class _Room(ModuleType):
    """A package that can be called: scripts say `from survey_app import assess` and call it."""

    def __call__(self, *arguments: Any, **options: Any) -> Any:
        from survey_app.assess.pipeline import assess

        return assess(*arguments, **options)


sys.modules[__name__].__class__ = _Room
