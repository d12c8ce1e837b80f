"""One open document without a window: current site, history, memo."""

from survey_app.session.history import History, Step

__all__ = ["History", "Step"]
