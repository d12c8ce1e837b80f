"""Supply over the data cable: what a radio at the far end gets, and whether it starts at all.

A radio draws constant power: the lower its voltage, the more current it takes, and the more the cable drops. Beyond a
limit there is no voltage at which cable and radio agree. That is not a low voltage; the radio will not start.
"""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.physics.arrays import BoolArray, FloatArray, float_array, nan_unless
from survey_app.physics.domains import not_negative, positive

__all__ = [
    "TreeSolution",
    "load_current_a",
    "load_voltage_v",
    "longest_run_m",
    "max_load_w",
    "max_loop_ohm",
    "solve_tree",
]

Feeders: TypeAlias = NDArray[np.intp]

# Even at the very limit each step halves the way to it, so that 100 steps reach rounding from any start.
_MAX_STEPS = 100
# Cables and loads agree to this part of the source voltage. A load that passes the limit by less is not told apart.
_TOLERANCE = 2e-14


def load_voltage_v(source_v: ArrayLike, loop_ohm: ArrayLike, load_w: ArrayLike) -> FloatArray:
    r"""Voltage at a constant-power load at the end of a cable.

    Parameters
    ----------
    source_v : array_like of float, shape (...)
        Voltage of the source, > 0; design with its low end. [V]
    loop_ohm : array_like of float, broadcast with it
        Resistance there and back, >= 0. [ohm]
    load_w : array_like of float, broadcast with it
        Power that the load draws, >= 0. [W]

    Returns
    -------
    ndarray of float, broadcast shape
        The higher of the two voltages that fit, at least half of the source; NaN where none fits (the load will not
        start), or an input is NaN or out of domain. [V]

    Notes
    -----
    .. math:: V = \frac{V_s + \sqrt{V_s^2 - 4 R P}}{2}

    Derived from V = Vs - R I and P = V I. The lower voltage is not stable with a real converter. Gives the device
    voltages that [IEEE8023]_ prints for its types.

    Examples
    --------
    >>> round(float(load_voltage_v(24, 5.8469, 8)), 3)
    21.86
    >>> float(load_voltage_v(12, 5.8469, 8))
    nan
    """
    source, loop, load = positive(source_v), not_negative(loop_ohm), not_negative(load_w)
    under = source * source - 4.0 * loop * load
    return 0.5 * (source + np.sqrt(nan_unless(under >= 0, under)))


def load_current_a(source_v: ArrayLike, loop_ohm: ArrayLike, load_w: ArrayLike) -> FloatArray:
    """Current through the cable of `load_voltage_v`.

    Parameters
    ----------
    source_v, loop_ohm, load_w : array_like of float, broadcast together
        As in `load_voltage_v`.

    Returns
    -------
    ndarray of float, broadcast shape
        Current; NaN where there is no operating point. [A]

    Notes
    -----
    I = P / V.

    Examples
    --------
    >>> round(float(load_current_a(24, 5.8469, 8)), 3)
    0.366
    """
    return float_array(load_w) / load_voltage_v(source_v, loop_ohm, load_w)


def max_load_w(source_v: ArrayLike, loop_ohm: ArrayLike, minimum_v: ArrayLike = 0.0) -> FloatArray:
    r"""Highest power that can be drawn at the end of a cable.

    Parameters
    ----------
    source_v : array_like of float, shape (...)
        Voltage of the source, > 0. [V]
    loop_ohm : array_like of float, broadcast with it
        Resistance there and back, > 0. [ohm]
    minimum_v : array_like of float, broadcast with it, default 0
        Voltage below which the load switches off. [V]

    Returns
    -------
    ndarray of float, broadcast shape
        Power at which the voltage reaches the minimum, or half of the source if that is higher; 0 where the minimum
        is above the source; NaN where an input is NaN or out of domain. [W]

    Notes
    -----
    .. math:: P = (V_s - V) V / R, \quad V = \max(V_{min}, V_s / 2)

    Examples
    --------
    >>> round(float(max_load_w(12, 5.085)), 2)
    7.08
    """
    source, minimum = positive(source_v), not_negative(minimum_v)
    lowest = np.maximum(minimum, 0.5 * source)
    return np.maximum(source - lowest, 0.0) * lowest / positive(loop_ohm)


def max_loop_ohm(source_v: ArrayLike, minimum_v: ArrayLike, load_w: ArrayLike) -> FloatArray:
    r"""Highest resistance there and back with which a load keeps its voltage.

    Parameters
    ----------
    source_v : array_like of float, shape (...)
        Voltage of the source, > 0. [V]
    minimum_v : array_like of float, broadcast with it
        Lowest voltage of the load, >= 0; below half of the source it no longer decides. [V]
    load_w : array_like of float, broadcast with it
        Power that the load draws, > 0. [W]

    Returns
    -------
    ndarray of float, broadcast shape
        Resistance; NaN where the minimum is above the source, or an input is NaN or out of domain. [ohm]

    Notes
    -----
    .. math:: R = (V_s - V) V / P, \quad V = \max(V_{min}, V_s / 2)

    Examples
    --------
    >>> float(max_loop_ohm(24, 18, 8))
    13.5
    """
    source = positive(source_v)
    lowest = np.maximum(not_negative(minimum_v), 0.5 * source)
    return nan_unless(source >= lowest, source - lowest) * lowest / positive(load_w)


def longest_run_m(
    source_v: ArrayLike,
    minimum_v: ArrayLike,
    load_w: ArrayLike,
    loop_ohm_per_km: ArrayLike,
    extra_ohm: ArrayLike = 0.0,
) -> FloatArray:
    r"""Longest cable with which a load keeps its voltage.

    Parameters
    ----------
    source_v, minimum_v, load_w : array_like of float, broadcast together
        As in `max_loop_ohm`.
    loop_ohm_per_km : array_like of float, broadcast with them
        Resistance there and back of a kilometre, > 0, see `conductors.loop_resistance_ohm`. [ohm/km]
    extra_ohm : array_like of float, broadcast with them, default 0
        Plugs and protectors, >= 0. [ohm]

    Returns
    -------
    ndarray of float, broadcast shape
        Length; the limit of 100 m for data stands beside it. NaN where even no cable is too much, or an input is NaN or
        out of domain. [m]

    Notes
    -----
    .. math:: L = \frac{(V_s - V) V / P - R_x}{r}

    Examples
    --------
    >>> round(float(longest_run_m(24, 18, 8, 97.45)), 1)
    138.5
    """
    room_ohm = max_loop_ohm(source_v, minimum_v, load_w) - not_negative(extra_ohm)
    return 1000.0 * nan_unless(room_ohm >= 0, room_ohm) / positive(loop_ohm_per_km)


class TreeSolution(NamedTuple):
    """State of a supply tree.

    Attributes
    ----------
    voltage_v : ndarray of float, shape (..., n)
        Voltage at each node; NaN in all nodes of a case without an operating point. [V]
    current_a : ndarray of float, shape (..., n)
        Current into each node through its cable, for itself and all behind it. [A]
    source_w : ndarray of float, shape (...)
        Power that the source delivers. [W]
    below_minimum : ndarray of bool, shape (..., n)
        True where a node lies below its own lowest voltage: it would switch off.
    """

    voltage_v: FloatArray
    current_a: FloatArray
    source_w: FloatArray
    below_minimum: BoolArray


def solve_tree(
    parent: ArrayLike,
    loop_ohm: ArrayLike,
    load_w: ArrayLike,
    source_v: ArrayLike,
    minimum_v: ArrayLike = 0.0,
) -> TreeSolution:
    r"""Voltages and currents of a source, its cables and all that hangs on them.

    Parameters
    ----------
    parent : array_like of int, shape (n,)
        Node that feeds each node, with a smaller number than its own; -1 for the source.
    loop_ohm : array_like of float, shape (n,) or (..., n)
        Resistance there and back of the cable into each node, >= 0. [ohm]
    load_w : array_like of float, shape (n,) or (..., n)
        Constant power that each node draws for itself, >= 0. [W]
    source_v : array_like of float, shape (...)
        Voltage of the source, > 0. [V]
    minimum_v : array_like of float, shape (n,) or (..., n), default 0
        Lowest voltage at which each node works. [V]

    Returns
    -------
    TreeSolution
        Voltages, currents, power of the source, and which nodes lie below their minimum. A case without an operating
        point, or with an input that is NaN or out of domain, is NaN throughout.

    Raises
    ------
    ValueError
        `parent` is not a list of whole numbers in which each node comes after the one that feeds it, or the shapes do
        not fit.

    Notes
    -----
    .. math:: V_{parent(i)} - V_i = R_i I_i, \quad I_i = P_i / V_i + \sum_{children} I_c

    Newton's method from the unloaded state. The system is concave in the voltages and its matrix stays monotone above
    the higher solution, so the steps only ever go down and end at that solution ([ORTEGA]_, 13.3.4); a pivot or a
    voltage that is no longer positive on the way proves that there is none (to 1e-13 of the power at the limit). The
    matrix of a tree is eliminated from the leaves, which takes as many operations as there are nodes. Each case is
    worked on alone, element by element.

    Examples
    --------
    An injector of 24 V, 30 m to a radio of 8 W, 10 m on to a camera of 5 W:

    >>> state = solve_tree([-1, 0], [2.92, 0.97], [8, 5], 24)
    >>> state.voltage_v.round(2)
    array([22.29, 22.07])
    """
    feeders = _checked_parents(parent)
    nodes = feeders.size
    loop, load, minimum = not_negative(loop_ohm), not_negative(load_w), not_negative(minimum_v)
    source = positive(source_v)
    if loop.shape[-1:] != (nodes,) or load.shape[-1:] != (nodes,):
        raise ValueError(f"the tree has {nodes} nodes, but resistances and loads are given for other numbers")
    shape = np.broadcast_shapes(loop.shape, load.shape, minimum.shape, (*source.shape, nodes))
    loop_rows, load_rows = (np.broadcast_to(a, shape).reshape(-1, nodes) for a in (loop, load))
    source_rows = np.broadcast_to(source, shape[:-1]).reshape(-1)
    voltage, current = _descend(feeders, loop_rows, load_rows, source_rows)
    voltage_v, current_a = voltage.reshape(shape), current.reshape(shape)
    out = np.zeros(source_rows.shape)
    for node in np.flatnonzero(feeders < 0):
        out = out + current[:, node]
    return TreeSolution(voltage_v, current_a, (out * source_rows).reshape(shape[:-1]), voltage_v < minimum)


def _checked_parents(parent: ArrayLike) -> Feeders:
    given = np.asarray(parent)
    if given.ndim != 1 or given.size == 0 or not np.issubdtype(given.dtype, np.integer):
        raise ValueError("the feeding nodes must be a list of whole numbers, one for each node")
    if (given < -1).any() or (given >= np.arange(given.size)).any():
        raise ValueError("each node must come after the node that feeds it, and the source is -1")
    return given.astype(np.intp)


def _descend(feeders: Feeders, loop: FloatArray, load: FloatArray, source: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Newton's steps for all cases side by side; a case that has arrived or failed is left alone."""
    usable = np.isfinite(source) & np.isfinite(loop).all(axis=-1) & np.isfinite(load).all(axis=-1)
    voltage: FloatArray = np.full(loop.shape, np.nan)
    current: FloatArray = np.full(loop.shape, np.nan)
    rows = np.flatnonzero(usable)
    trial: FloatArray = np.repeat(source[rows, np.newaxis], loop.shape[-1], axis=-1)
    for _ in range(_MAX_STEPS):
        flow, mismatch = _balance(feeders, loop[rows], load[rows], source[rows], trial)
        arrived = mismatch <= _TOLERANCE * source[rows]
        voltage[rows[arrived]], current[rows[arrived]] = trial[arrived], flow[arrived]
        stepped, sound = _step(feeders, loop[rows], load[rows], source[rows], trial)
        going = sound & ~arrived
        rows, trial = rows[going], stepped[going]
        if rows.size == 0:
            break
    return voltage, current


def _balance(
    feeders: Feeders, loop: FloatArray, load: FloatArray, source: FloatArray, voltage: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Currents that the loads draw at these voltages, and the worst volt by which the cables disagree with them."""
    flow = load / voltage
    for node in range(feeders.size - 1, -1, -1):
        if feeders[node] >= 0:
            flow[:, feeders[node]] = flow[:, feeders[node]] + flow[:, node]
    worst: FloatArray = np.zeros(source.shape)
    for node, feeder in enumerate(feeders):
        above = source if feeder < 0 else voltage[:, feeder]
        worst = np.maximum(worst, np.abs(above - loop[:, node] * flow[:, node] - voltage[:, node]))
    return flow, worst


def _step(
    feeders: Feeders, loop: FloatArray, load: FloatArray, source: FloatArray, voltage: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """One step: each load becomes a source of current with a negative conductance, and the straight tree is solved."""
    fixed = 2.0 * load / voltage
    slope = load / (voltage * voltage)
    pivot: FloatArray = np.ones(loop.shape)
    sound: BoolArray = np.ones(source.shape, dtype=np.bool_)
    for node in range(feeders.size - 1, -1, -1):
        pivot[:, node] = 1.0 - slope[:, node] * loop[:, node]
        sound &= pivot[:, node] > 0.0
        pivot[:, node] = np.where(sound, pivot[:, node], 1.0)
        if feeders[node] >= 0:
            fixed[:, feeders[node]] = fixed[:, feeders[node]] + fixed[:, node] / pivot[:, node]
            slope[:, feeders[node]] = slope[:, feeders[node]] + slope[:, node] / pivot[:, node]
    stepped: FloatArray = np.empty(loop.shape)
    for node, feeder in enumerate(feeders):
        above = source if feeder < 0 else stepped[:, feeder]
        flow = (fixed[:, node] - slope[:, node] * above) / pivot[:, node]
        stepped[:, node] = above - loop[:, node] * flow
        sound &= stepped[:, node] > 0.0
    return stepped, sound
