"""Writes positions.csv and risings.csv: the moon by an independent ephemeris.

How to run (Debian 12: apt install python3-astropy python3-scipy):

    /usr/bin/python3 moon.py

astropy with its built-in ephemeris (ERFA moon98, from Meeus 1998, good to some
arcseconds; epv00 for the sun). Nothing is downloaded, UT1 is taken to be UTC.
Positions are topocentric and without air. lit is the share of the disc that the
sun lights; elongation runs from 0 at new moon by 180 at full moon to 360. Risings
and settings are those of the upper edge of the disc on a level horizon with 34
arcmin of refraction: the roots of a spline through the altitude every 2 minutes.
"""

import datetime
import warnings
from zoneinfo import ZoneInfo

import numpy as np
from astropy import units as u
from astropy.coordinates import AltAz, EarthLocation, GeocentricTrueEcliptic, get_body, solar_system_ephemeris
from astropy.time import Time, TimeDelta
from astropy.utils import iers
from scipy.interpolate import CubicSpline

warnings.simplefilter("ignore")
iers.conf.auto_download = False
iers.conf.iers_degraded_accuracy = "ignore"
solar_system_ephemeris.set("builtin")

MOON_RADIUS = 1737.4  # km


def moon(utc, latitude, longitude):
    """Altitude and azimuth (deg) and distance (km), topocentric, without air."""
    utc.delta_ut1_utc = 0.0
    place = EarthLocation.from_geodetic(longitude * u.deg, latitude * u.deg)
    seen = get_body("moon", utc, place).transform_to(AltAz(obstime=utc, location=place, pressure=0 * u.hPa))
    return seen.alt.deg, seen.az.deg, seen.distance.km


def phase(utc):
    """The lit share and the elongation (deg), seen from the centre of the Earth."""
    utc.delta_ut1_utc = 0.0
    sun, body = get_body("sun", utc), get_body("moon", utc)
    apart = sun.separation(body)
    inclination = np.arctan2(sun.distance * np.sin(apart), body.distance - sun.distance * np.cos(apart))
    of = GeocentricTrueEcliptic(equinox=utc, obstime=utc)
    elongation = (body.transform_to(of).lon - sun.transform_to(of).lon).wrap_at(360 * u.deg)
    return (1 + np.cos(inclination)) / 2, elongation.deg


def positions():
    random = np.random.default_rng(7)
    for _ in range(240):
        utc = Time(2460676.5 + random.uniform(0, 3650), format="jd")  # ten years from 2025
        latitude, longitude = random.uniform(-75, 75), random.uniform(-180, 180)
        altitude, azimuth, distance = moon(utc, latitude, longitude)
        lit, elongation = phase(utc)
        yield (f"{utc.strftime('%Y-%m-%dT%H:%M:%SZ')},{latitude:.3f},{longitude:.3f},{altitude:.3f},{azimuth:.3f},"
               f"{distance:.0f},{lit:.4f},{elongation:.2f}")


SITES = [  # name, latitude, longitude, zone
    ("Punta Arenas", -53.16, -70.91, "America/Punta_Arenas"), ("Hobart", -42.88, 147.33, "Australia/Hobart"),
    ("Chatham Islands", -43.95, -176.56, "Pacific/Chatham"), ("Quito", -0.18, -78.47, "America/Guayaquil"),
    ("Kathmandu", 27.72, 85.32, "Asia/Kathmandu"), ("New York", 40.71, -74.01, "America/New_York"),
    ("London", 51.5, -0.12, "Europe/London"), ("Berlin", 52.52, 13.4, "Europe/Berlin"),
    ("Oslo", 59.91, 10.75, "Europe/Oslo"), ("Tromso", 69.65, 18.96, "Europe/Oslo"),
]


def midnight(date, zone):
    """The beginning of a date of a zone's calendar, in UTC."""
    local = datetime.datetime(date.year, date.month, date.day, tzinfo=ZoneInfo(zone))
    return local.astimezone(datetime.timezone.utc)


def risings():
    for n, (name, latitude, longitude, zone) in enumerate(SITES):
        for k in range(12):
            date = datetime.date(2027, 1, 1) + datetime.timedelta(days=31 * k + 3 * n)
            start, end = midnight(date, zone), midnight(date + datetime.timedelta(days=1), zone)
            length = (end - start).total_seconds()
            seconds = np.arange(-600, length + 601, 120.0)
            utc = Time(start.replace(tzinfo=None)) + TimeDelta(seconds, format="sec")
            altitude, _, distance = moon(utc, latitude, longitude)
            upper = CubicSpline(seconds, altitude + np.degrees(np.arcsin(MOON_RADIUS / distance)) + 34 / 60)
            found = [(r, float(upper(r, 1))) for r in upper.roots(extrapolate=False) if 0 <= r < length]
            for root, rate in found:
                utc = start + datetime.timedelta(seconds=root)
                yield (f"{name},{latitude},{longitude},{zone},{date},{'rise' if rate > 0 else 'set'},"
                       f"{utc.strftime('%Y-%m-%dT%H:%M:%SZ')},{rate:.3g}")
            if not found:
                yield f"{name},{latitude},{longitude},{zone},{date},{'up' if altitude.mean() > 0 else 'down'},,0"


def write(name, note, header, rows):
    with open(name, "w") as f:
        print(f"# Made by moon.py: {note}", file=f)
        print(header, file=f)
        for row in rows:
            print(row, file=f)


write("positions.csv", "astropy's moon, topocentric, without air.",
      "utc,latitude_deg,longitude_deg,altitude_deg,azimuth_deg,distance_km,lit,elongation_deg", positions())
write("risings.csv", "roots of splines of astropy's moon. UTC; rate in deg/s.",
      "place,latitude_deg,longitude_deg,zone,date,event,utc,rate", risings())
