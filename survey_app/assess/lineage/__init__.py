"""How every number of an assessment comes about: one declaration for each field of each kind of row."""

from survey_app.assess.lineage.rule import Path, Rule, Segment, paths_of
from survey_app.assess.lineage.table import LINEAGE, SLOTS, rule_of

__all__ = ["LINEAGE", "SLOTS", "Path", "Rule", "Segment", "paths_of", "rule_of"]
