"""Searches for a better design; the answer is again a Site, with a record of what was decided and why."""
