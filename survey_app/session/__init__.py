"""One open document without a window: current site, history, recovery, memo."""

from survey_app.session.document import Document
from survey_app.session.history import History, Step

__all__ = ["Document", "History", "Step"]
