"""Channels and widths for all cells: exact search over what rules, gear and neighbours leave."""

from survey_app.propose.channels.plan import CellPlan, ChannelPlan, Proposal, propose_channels
from survey_app.propose.channels.search import Patience

__all__ = ["CellPlan", "ChannelPlan", "Patience", "Proposal", "propose_channels"]
