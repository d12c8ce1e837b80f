"""The network stage: ways home, lengths of wires and the solved supply, worked out once for rows and rules."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.assess.graph import Graph, build_graph
from survey_app.assess.job import Job
from survey_app.assess.supply import Supplied, solve_supply
from survey_app.assess.wires import Earths, WireRun, wire_runs
from survey_app.ground.place import Placed

__all__ = ["NetworkStage", "network_stage"]


@dataclass(frozen=True)
class NetworkStage:
    """What routes, wires and supply have in common.

    Parameters
    ----------
    placed : Placed
        Where things are.
    graph : Graph
        Things, legs and ways home.
    runs : dict of str to WireRun
        Lengths and resistances.
    supplied : Supplied
        The solved supply.
    earths : Earths
        What is bonded to what.
    """

    placed: Placed
    graph: Graph
    runs: dict[str, WireRun]
    supplied: Supplied
    earths: Earths

    def volts_v(self) -> dict[str, float | None]:
        """Return the voltage that arrives at each fed thing. [V]"""
        return {key: fed.volts_v for key, fed in self.supplied.things.items()}


def network_stage(job: Job, placed: Placed) -> NetworkStage:
    """Work out ways home, lengths and the supply of a site.

    Parameters
    ----------
    job : Job
        The indexed site.
    placed : Placed
        Where its things are.
    """
    runs = wire_runs(job, placed)
    return NetworkStage(placed, build_graph(job), runs, solve_supply(job, runs), Earths(job, placed))
