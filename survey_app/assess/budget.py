"""The radio budget of every hop, both directions, in one go on arrays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gain import gain_toward_dbi
from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.hop_rates import HopRates
from survey_app.physics import free_space, noise
from survey_app.physics.arrays import FloatArray
from survey_app.physics.rates import at_mcs
from survey_app.physics.receiver import highest_mcs

__all__ = ["Aims", "Direction", "Losses", "Path", "best_rate_mbps", "direction_budget", "hop_path", "path_losses"]


@dataclass(frozen=True)
class Aims:
    """Where all radios look, shape (radios,): beam's axis and bracket's tilt; north as in the geometry. [deg]"""

    bearing_deg: FloatArray
    tilt_deg: FloatArray
    bracket_deg: FloatArray


@dataclass(frozen=True)
class Path:
    """Gains and losses between the two units' plugs, shape (hops,) each.

    Attributes
    ----------
    free_space_loss_db, gas_loss_db : ndarray of float
        Losses on the way. [dB]
    gain_a_dbi, gain_s_dbi : ndarray of float
        Gain of either end's antenna toward the other. [dBi]
    peak_a_dbi, peak_s_dbi : ndarray of float
        The same on the beam's axis. [dBi]
    polarisation_loss_db : ndarray of float
        What the two polarisations and rotations cost. [dB]
    obstruction_loss_db : ndarray of float
        What stands in the way costs. [dB]
    path_gain_db : ndarray of float
        Everything together; negative. [dB]
    """

    free_space_loss_db: FloatArray
    gas_loss_db: FloatArray
    gain_a_dbi: FloatArray
    gain_s_dbi: FloatArray
    peak_a_dbi: FloatArray
    peak_s_dbi: FloatArray
    polarisation_loss_db: FloatArray
    obstruction_loss_db: FloatArray
    path_gain_db: FloatArray


@dataclass(frozen=True)
class Losses:
    """What is lost on the way whatever the aims, shape (hops,) each. [dB]

    Attributes
    ----------
    free_space_db, gas_db, polarisation_db, feeders_db, obstruction_db : ndarray of float
        By distance, by the air, by unlike polarisation, in the feeders of both ends, by what stands in the way.
    """

    free_space_db: FloatArray
    gas_db: FloatArray
    polarisation_db: FloatArray
    feeders_db: FloatArray
    obstruction_db: FloatArray

    @property
    def bare_path_db(self) -> FloatArray:
        """Path gain between antennas without gain; negative."""
        return -(self.free_space_db + self.gas_db + self.polarisation_db + self.feeders_db + self.obstruction_db)


def path_losses(
    radios: RadioArrays,
    hops: HopArrays,
    where: HopGeometry,
    gas_db_per_km: FloatArray,
    polarisation_loss_db: FloatArray,
    obstruction_loss_db: FloatArray,
) -> Losses:
    """Return what all hops lose on the way.

    Parameters
    ----------
    radios, hops, where
        The site as arrays, the hops' geometry.
    gas_db_per_km, polarisation_loss_db : ndarray of float, shape (hops,)
        Loss of the air for each kilometre, and by unlike polarisation.
    obstruction_loss_db : ndarray of float, shape (hops,)
        Loss by what stands in the way.
    """
    return Losses(
        free_space_db=free_space.free_space_loss_db(where.distance_m, hops.centre_mhz),
        gas_db=gas_db_per_km * where.distance_m / 1000.0,
        polarisation_db=polarisation_loss_db,
        feeders_db=radios.feeder_loss_db[hops.access_point] + radios.feeder_loss_db[hops.station],
        obstruction_db=obstruction_loss_db,
    )


def hop_path(radios: RadioArrays, hops: HopArrays, where: HopGeometry, aims: Aims, losses: Losses) -> Path:
    """Return gains and losses of all hops.

    Parameters
    ----------
    radios, hops, where, aims
        The site as arrays, the hops' geometry, the radios' aims.
    losses : Losses
        What is lost whatever the aims.
    """
    a, s = hops.access_point, hops.station
    gain_a = gain_toward_dbi(
        radios, a, where.bearing_a_deg, where.elevation_a_deg, aims.bearing_deg[a], aims.bracket_deg[a]
    )
    gain_s = gain_toward_dbi(
        radios, s, where.bearing_s_deg, where.elevation_s_deg, aims.bearing_deg[s], aims.bracket_deg[s]
    )
    lost = losses.free_space_db, losses.gas_db, losses.polarisation_db, losses.obstruction_db
    return Path(
        free_space_loss_db=losses.free_space_db,
        gas_loss_db=losses.gas_db,
        gain_a_dbi=gain_a,
        gain_s_dbi=gain_s,
        peak_a_dbi=radios.gain_dbi[a],
        peak_s_dbi=radios.gain_dbi[s],
        polarisation_loss_db=losses.polarisation_db,
        obstruction_loss_db=losses.obstruction_db,
        path_gain_db=gain_a + gain_s - losses.feeders_db - lost[0] - lost[1] - lost[2] - lost[3],
    )


@dataclass(frozen=True)
class Direction:
    """One direction of all hops, shape (hops,) each; the tables have a column per rate index."""

    power_table_dbm: FloatArray
    margin_table_db: FloatArray
    noise_dbm: FloatArray
    tx_power_dbm: FloatArray
    rx_level_dbm: FloatArray
    snr_db: FloatArray
    mcs: FloatArray
    rate_mbps: FloatArray
    margin_needed_db: FloatArray
    margin_lowest_db: FloatArray
    margin_chosen_db: FloatArray


def _mcs_at(margin_db: FloatArray, wanted_db: FloatArray, chosen: FloatArray) -> FloatArray:
    """Return the rate index of each hop: fixed by hand, the best with the wanted margin, else the best that works."""
    none = np.zeros(len(margin_db))
    # 0.05 dB of slack: a rate is not lost to the last digit of a power step
    best = highest_mcs(none, -margin_db, wanted_db - 0.05)
    workable = highest_mcs(none, -margin_db, none)
    return np.where(np.isnan(chosen), np.where(best >= 0, best, workable), chosen)


def best_rate_mbps(
    path_gain_db: FloatArray,
    power_dbm: FloatArray,
    power_table_dbm: FloatArray,
    sensitivity_dbm: FloatArray,
    rates: HopRates,
    rise_db: float | FloatArray,
    wanted_db: FloatArray,
    chosen: FloatArray,
) -> FloatArray:
    """Return the link rate of one direction of all hops at some power. [Mbit/s]

    Arguments are those of `direction_budget`; the rise may also be one of each hop, shape (hops, 1).
    """
    margin = np.minimum(power_table_dbm, power_dbm[:, None]) + path_gain_db[:, None] - sensitivity_dbm - rise_db
    return at_mcs(rates.rate_mbps, _mcs_at(margin, wanted_db, chosen))


def direction_budget(
    path_gain_db: FloatArray,
    service_power_dbm: FloatArray,
    power_table_dbm: FloatArray,
    sensitivity_dbm: FloatArray,
    rates: HopRates,
    noise_figure_db: FloatArray,
    width_mhz: FloatArray,
    rise_db: float,
    wanted_db: FloatArray,
    needed: FloatArray,
    chosen: FloatArray,
) -> Direction:
    """Return one direction of all hops at the power that is set in service.

    Parameters
    ----------
    path_gain_db, service_power_dbm : ndarray of float, shape (hops,)
        Path, and power set at the sending end. [dB, dBm]
    power_table_dbm, sensitivity_dbm : ndarray of float, shape (hops, RATES)
        Highest power of the sender and sensitivity of the receiver per rate. [dBm]
    rates : HopRates
        Rates to be had.
    noise_figure_db, width_mhz : ndarray of float, shape (hops,)
        Receiver. [dB, MHz]
    rise_db : float
        Planned rise of the noise by others; every margin stands above it. [dB]
    wanted_db, needed, chosen : ndarray of float, shape (hops,)
        Wanted margin [dB]; rate index needed; rate index fixed by hand, NaN = chosen here.
    """
    sent = np.minimum(power_table_dbm, service_power_dbm[:, None])
    margin = sent + path_gain_db[:, None] - sensitivity_dbm - rise_db
    mcs = _mcs_at(margin, wanted_db, chosen)
    lowest = np.argmax(~np.isnan(rates.rate_mbps), axis=1).astype(float)
    tx = np.where(mcs >= 0, at_mcs(sent, mcs), at_mcs(sent, lowest))
    noise_dbm = noise.noise_floor_dbm(width_mhz, noise_figure_db)
    level = tx + path_gain_db
    return Direction(
        power_table_dbm=sent,
        margin_table_db=margin,
        noise_dbm=noise_dbm,
        tx_power_dbm=tx,
        rx_level_dbm=level,
        snr_db=noise.snr_db(level, noise_dbm) - rise_db,
        mcs=mcs,
        rate_mbps=at_mcs(rates.rate_mbps, mcs),
        margin_needed_db=at_mcs(margin, needed),
        margin_lowest_db=at_mcs(margin, lowest),
        margin_chosen_db=at_mcs(margin, mcs),
    )
