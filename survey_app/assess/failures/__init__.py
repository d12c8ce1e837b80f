"""What fails when one thing fails: cameras that go dark, others that come home another way, and what that carries."""

from survey_app.assess.failures.loads import Capacity, capacity_of
from survey_app.assess.failures.losses import Loss, losses
from survey_app.assess.failures.rows import MANY_CAMERAS, failure_rows

__all__ = ["MANY_CAMERAS", "Capacity", "Loss", "capacity_of", "failure_rows", "losses"]
