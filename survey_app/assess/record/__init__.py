"""The assessment: every number that reaches paper or screen, and every finding.

Angles and levels are full-precision numbers; rounding belongs to paper. A value that cannot be known is null, and a
row of `null_reasons` says what kind of null it is: unknown (a finding says what would make it known), not
applicable, or refused.
"""

from survey_app.assess.record.air import AreaRow, CellRow
from survey_app.assess.record.assessment import Assessment
from survey_app.assess.record.failures import FailureRow
from survey_app.assess.record.finding import Acceptance, Cure, CureArgument, Finding, NullReason, Place, Severity
from survey_app.assess.record.hops import (
    DirectionRow,
    HopDirections,
    HopEndRow,
    HopEnds,
    HopRow,
    ObstacleKind,
    ObstacleRow,
    ReadingWindow,
    Side,
    WallKind,
    WallMet,
)
from survey_app.assess.record.mounts import ClimbRow, Maturity, MountRow, NorthRow
from survey_app.assess.record.network import CameraRow, HeadEndRow, Leg, RouteRow, SupplyLink, SupplyRow, WireRow
from survey_app.assess.record.options import Comparison, FigureRow, Money, Option, PartRow
from survey_app.assess.record.radios import FromLandmark, RadioRow, ReachArc
from survey_app.assess.record.tally import TallyPart, TallyRow

__all__ = [
    "Acceptance",
    "AreaRow",
    "Assessment",
    "CameraRow",
    "CellRow",
    "ClimbRow",
    "Comparison",
    "Cure",
    "CureArgument",
    "DirectionRow",
    "FailureRow",
    "FigureRow",
    "Finding",
    "FromLandmark",
    "HeadEndRow",
    "HopDirections",
    "HopEndRow",
    "HopEnds",
    "HopRow",
    "Leg",
    "Maturity",
    "Money",
    "MountRow",
    "NorthRow",
    "NullReason",
    "ObstacleKind",
    "ObstacleRow",
    "Option",
    "PartRow",
    "Place",
    "RadioRow",
    "ReachArc",
    "ReadingWindow",
    "RouteRow",
    "Severity",
    "Side",
    "SupplyLink",
    "SupplyRow",
    "TallyPart",
    "TallyRow",
    "WallKind",
    "WallMet",
    "WireRow",
]
