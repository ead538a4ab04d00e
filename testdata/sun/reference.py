"""The sun by an independent ephemeris, for positions.py and events.py.

astropy (Debian python3-astropy) with its built-in ephemeris: ERFA epv00 for the
Earth, IAU 2006/2000A precession and nutation, aberration, parallax on the
WGS 84 ellipsoid, no air. Nothing is downloaded.
"""

import warnings

import erfa
import numpy as np
from astropy import units as u
from astropy.coordinates import AltAz, EarthLocation, get_body, solar_system_ephemeris
from astropy.time import Time
from astropy.utils import iers

warnings.simplefilter("ignore")  # "dubious year" before 1960 and after 2027
iers.conf.auto_download = False
iers.conf.iers_degraded_accuracy = "ignore"
solar_system_ephemeris.set("builtin")

IERS_B = iers.IERS_B.open()
FIRST_OBSERVED = Time(IERS_B["MJD"][0], format="mjd")
LAST_OBSERVED = Time(IERS_B["MJD"][-1], format="mjd")


def sun(utc, latitude, longitude, elevation):
    """True altitude and azimuth (deg) at astropy times that know UT1-UTC."""
    place = EarthLocation.from_geodetic(longitude * u.deg, latitude * u.deg, elevation * u.m)
    body = get_body("sun", utc, place)
    seen = body.transform_to(AltAz(obstime=utc, location=place, pressure=0 * u.hPa))
    return seen.alt.deg, seen.az.deg


def at_ut1(jd1, jd2, delta_t):
    """The instant at which UT1 is jd1 + jd2 and TT is delta_t seconds later."""
    utc = Time(jd1, jd2 + np.asarray(delta_t) / 86400, format="jd", scale="tt").utc
    date = utc.ymdhms
    fraction = (date["hour"] + date["minute"] / 60 + date["second"] / 3600) / 24
    tai_utc = erfa.dat(date["year"], date["month"], date["day"], np.minimum(fraction, 1))
    utc.delta_ut1_utc = 32.184 + tai_utc - delta_t
    return utc
