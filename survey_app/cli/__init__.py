"""The command line; no engineering: it asks the floors below and shows what they say."""

from survey_app.cli.run import main

__all__ = ["main"]
