"""One open document without a window: current site, history, unsaved work, saving, pictures, recent sites."""

from survey_app.session.alternatives import Alternative, alternatives
from survey_app.session.document import Document
from survey_app.session.history import History, Step
from survey_app.session.offer import Offer
from survey_app.session.orphans import Orphan, orphans, recover, set_orphan_aside
from survey_app.session.recent import Recent, forget_missing, forget_site, recent_sites, remember_site
from survey_app.session.saving import ChangedBehindError
from survey_app.session.snapshot import Snapshot

__all__ = [
    "Alternative",
    "ChangedBehindError",
    "Document",
    "History",
    "Offer",
    "Orphan",
    "Recent",
    "Snapshot",
    "Step",
    "alternatives",
    "forget_missing",
    "forget_site",
    "orphans",
    "recent_sites",
    "recover",
    "remember_site",
    "set_orphan_aside",
]
