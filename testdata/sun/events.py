"""Writes events.csv: rise, set and the rest for days at many places.

How to run (Debian 12: apt install python3-astropy python3-scipy):

    /usr/bin/python3 events.py

The altitude of the sun on the independent ephemeris of reference.py is taken
every 60 s from the first instant of the local date to the first of the next and
splined; events are the roots of the spline, so nothing of the package's own
search is used. Times are true UTC, with the UT1-UTC of the IERS where it has
been observed (to November 2022); for later days UT1 is taken to be UTC. The
level altitudes are those of the almanacs (-50 arcmin, -6, -12, -18 deg) and of
common practice (golden hour +6 to -4, blue hour -4 to -6 deg); solar noon is
the transit. rate is how fast the altitude (for solar noon, the hour angle)
changes then, so that a grazing crossing can be judged by its altitude.
"""

import datetime
from zoneinfo import ZoneInfo

import numpy as np
from astropy.time import Time, TimeDelta
from scipy.interpolate import CubicSpline

import reference

LEVELS = [  # altitude in deg, events when rising, events when setting
    (-18, ["astronomical dawn"], ["astronomical dusk"]),
    (-12, ["nautical dawn"], ["nautical dusk"]),
    (-6, ["civil dawn", "blue hour begins"], ["blue hour ends", "civil dusk"]),
    (-4, ["blue hour ends", "golden hour begins"], ["golden hour ends", "blue hour begins"]),
    (-50 / 60, ["sunrise"], ["sunset"]),
    (6, ["golden hour ends"], ["golden hour begins"]),
]

# name, latitude, longitude, elevation, zone, dates
DAYS = [
    ("London", 51.5, -0.12, 0, "Europe/London", ["2026-03-29", "2026-10-25", "2026-06-21", "2026-12-21"]),  # 23 h, 25 h
    ("Longyearbyen", 78.22, 15.65, 0, "Arctic/Longyearbyen",
     ["2026-02-15", "2026-02-16", "2026-04-18", "2026-04-19", "2026-06-21", "2026-08-24", "2026-10-26", "2026-12-21"]),
    ("Tromso", 69.65, 18.96, 0, "Europe/Oslo",
     ["2026-01-14", "2026-01-15", "2026-01-16", "2026-05-17", "2026-05-18", "2026-05-19", "2026-07-25", "2026-07-26", "2026-07-27", "2026-11-27"]),
    ("Reykjavik", 64.15, -21.94, 0, "Atlantic/Reykjavik", ["2026-06-14", "2026-06-29", "2026-06-30"]),  # sunset passes midnight
    ("Fairbanks", 64.84, -147.72, 136, "America/Anchorage", ["2026-05-20"]),
    ("Nome", 64.5, -165.41, 0, "America/Nome", ["2022-06-21", "2022-08-06"]),
    ("Quito", -0.18, -78.47, 2850, "America/Guayaquil", ["2026-03-20", "2026-09-12"]),
    ("Singapore", 1.35, 103.82, 0, "Asia/Singapore", ["2026-01-01"]),
    ("Nairobi", -1.29, 36.82, 1795, "Africa/Nairobi", ["2015-07-04"]),
    ("Sydney", -33.87, 151.21, 0, "Australia/Sydney", ["2026-12-21", "2026-04-05", "2026-10-04"]),  # 25 h, 23 h
    ("Lord Howe", -31.55, 159.08, 0, "Australia/Lord_Howe", ["2026-10-04"]),  # 23.5 h
    ("Cape Town", -33.92, 18.42, 0, "Africa/Johannesburg", ["2026-06-21"]),
    ("Ushuaia", -54.8, -68.3, 0, "America/Argentina/Ushuaia", ["2026-12-21", "2026-06-21"]),
    ("McMurdo", -77.85, 166.67, 0, "Antarctica/McMurdo", ["2026-02-20", "2026-02-21", "2026-08-19", "2026-06-21"]),
    ("South Pole", -90, 0, 2835, "Antarctica/South_Pole", ["2026-09-20", "2026-09-21", "2026-03-22", "2026-03-23"]),
    ("North Pole", 90, 0, 0, "UTC", ["2026-03-18", "2026-03-19", "2026-09-24", "2026-09-25"]),
    ("Kiritimati", 1.87, -157.43, 0, "Pacific/Kiritimati", ["2026-03-21"]),
    ("Apia", -13.83, -171.76, 0, "Pacific/Apia", ["2011-12-29", "2011-12-31"]),  # 30 December 2011 was skipped
    ("Honolulu", 21.31, -157.86, 0, "Pacific/Honolulu", ["2026-05-26"]),  # sun near the zenith
    ("Sao Paulo", -23.55, -46.63, 760, "America/Sao_Paulo", ["2018-11-04", "2018-02-17"]),  # no midnight; 25 h
    ("Havana", 23.11, -82.37, 0, "America/Havana", ["2026-03-08", "2026-11-01"]),  # no midnight; midnight twice
    ("Kashgar", 39.47, 75.99, 1289, "Asia/Shanghai", ["2026-06-21", "2026-12-21"]),  # clock 3 h ahead of the sun
    ("London on the clock of Auckland", 51.5, -0.12, 0, "Pacific/Auckland", ["2026-02-11", "2026-05-14", "2026-06-21"]),
    ("Murmansk", 68.97, 33.08, 0, "Europe/Moscow", ["1975-05-21", "1975-05-22", "1990-01-11"]),
    ("Punta Arenas", -53.16, -70.91, 0, "America/Punta_Arenas", ["1962-08-01"]),
    # From 80 S to 80 N, on both sides of the date line, in zones of halves and
    # quarters of an hour, and on days on which their clocks are changed.
    ("Ellsworth Mountains", -80, -82, 1200, "America/Punta_Arenas", ["2026-02-19", "2026-04-22", "2026-08-21"]),
    ("Troll", -72.01, 2.53, 1275, "Antarctica/Troll", ["2026-03-29", "2026-10-25", "2026-07-20"]),  # 22 h, 26 h
    ("Rothera", -67.57, -68.13, 16, "Antarctica/Rothera", ["2026-06-21", "2026-12-05"]),
    ("South Georgia", -54.28, -36.51, 10, "Atlantic/South_Georgia", ["2026-06-21"]),
    ("Chatham Islands", -43.95, -176.56, 10, "Pacific/Chatham", ["2026-04-05", "2026-09-27", "2026-12-21"]),  # 12:45
    ("Hobart", -42.88, 147.33, 10, "Australia/Hobart", ["2026-10-04"]),
    ("Santiago", -33.45, -70.67, 570, "America/Santiago", ["2026-04-04", "2026-09-06"]),  # at midnight
    ("Eucla", -31.68, 128.88, 10, "Australia/Eucla", ["2026-03-20"]),  # 8:45
    ("Adelaide", -34.93, 138.6, 50, "Australia/Adelaide", ["2026-04-05", "2026-10-04"]),  # 9:30
    ("Easter Island", -27.15, -109.43, 50, "Pacific/Easter", ["2026-04-04", "2026-09-05"]),
    ("Tongatapu", -21.13, -175.2, 10, "Pacific/Tongatapu", ["2026-01-05"]),
    ("Taveuni", -16.85, 179.99, 10, "Pacific/Fiji", ["2026-06-21"]),
    ("Pago Pago", -14.28, -170.7, 0, "Pacific/Pago_Pago", ["2026-11-09"]),
    ("Nuku Hiva", -8.86, -140.14, 20, "Pacific/Marquesas", ["2026-02-01"]),  # -9:30
    ("Nauru", -0.53, 166.93, 0, "Pacific/Nauru", ["2026-09-23"]),
    ("Colombo", 6.93, 79.85, 0, "Asia/Colombo", ["2026-12-21"]),  # 5:30
    ("Yangon", 16.87, 96.2, 10, "Asia/Yangon", ["2026-07-01"]),  # 6:30
    ("Kathmandu", 27.72, 85.32, 1400, "Asia/Kathmandu", ["2026-06-21", "2026-12-21"]),  # 5:45
    ("Cairo", 30.04, 31.24, 20, "Africa/Cairo", ["2026-04-24", "2026-10-29"]),  # at midnight
    ("Kabul", 34.53, 69.17, 1790, "Asia/Kabul", ["2026-03-20"]),  # 4:30
    ("Ponta Delgada", 37.74, -25.67, 10, "Atlantic/Azores", ["2026-03-29", "2026-10-25"]),
    ("New York", 40.71, -74.01, 10, "America/New_York", ["2026-03-08", "2026-11-01"]),
    ("St John's", 47.56, -52.71, 10, "America/St_Johns", ["2026-03-08", "2026-11-01"]),  # -3:30
    ("Adak", 51.88, -176.65, 0, "America/Adak", ["2026-03-08", "2026-11-01", "2026-06-21"]),
    ("Anadyr", 64.73, 177.5, 0, "Asia/Anadyr", ["2026-06-21", "2026-12-21"]),
    ("Nuuk", 64.18, -51.72, 0, "America/Nuuk", ["2026-03-28", "2026-10-24"]),
    ("Pituffik", 76.53, -68.7, 77, "America/Thule", ["2026-03-08", "2026-04-24", "2026-08-19", "2026-10-30"]),
    ("North Greenland", 80, -30, 500, "America/Danmarkshavn", ["2026-02-21", "2026-04-13", "2026-08-29", "2026-10-19"]),
]


def first_instant(date, zone):
    """First instant at which the zone's calendar shows the date or a later one."""
    utc = datetime.timezone.utc
    t = datetime.datetime(date.year, date.month, date.day, tzinfo=utc) - datetime.timedelta(hours=30)
    # To the quarter of an hour, as all clock changes here are.
    while t.astimezone(zone).date() < date:
        t += datetime.timedelta(minutes=15)
    return t


def times(start, seconds):
    t = Time(start.replace(tzinfo=None), scale="utc") + TimeDelta(seconds, format="sec")
    if start.replace(tzinfo=None) > datetime.datetime(2022, 11, 1):
        t.delta_ut1_utc = 0.0
    return t


rows = []
for name, latitude, longitude, elevation, zone_name, dates in DAYS:
    zone = ZoneInfo(zone_name)
    for text in dates:
        date = datetime.date.fromisoformat(text)
        start, end = first_instant(date, zone), first_instant(date + datetime.timedelta(days=1), zone)
        length = (end - start).total_seconds()
        seconds = np.arange(-600, length + 601, 60.0)
        altitude, azimuth = reference.sun(times(start, seconds), latitude, longitude, elevation)
        found = []

        curve = CubicSpline(seconds, altitude)
        for level, rising, setting in LEVELS:
            for root in curve.solve(level, extrapolate=False):
                if 0 <= root < length:
                    rate = float(curve(root, 1))
                    for event in rising if rate > 0 else setting:
                        found.append((root, event, rate))

        # The sun is on the meridian where the eastward part of its direction is nothing.
        east = CubicSpline(seconds, np.cos(np.radians(altitude)) * np.sin(np.radians(azimuth)))
        for root in east.roots(extrapolate=False):
            if 0 <= root < length and east(root, 1) < 0:
                found.append((root, "solar noon", -360 / 86400))

        found.sort(key=lambda e: e[0])  # stable: events of one moment stay as told in LEVELS
        if not any(event in ("sunrise", "sunset") for _, event, _ in found):
            found.append((0, "sun never sets" if altitude.mean() > -50 / 60 else "sun never rises", 0))
        for root, event, rate in found:
            utc = start + datetime.timedelta(seconds=root)
            stamp = utc.strftime("%Y-%m-%dT%H:%M:%S.%f")[:-4] + "Z"
            rows.append(f"{name},{latitude},{longitude},{elevation},{zone_name},{text},{length/3600:g},{event},{stamp},{rate:.3g}")

with open("events.csv", "w") as f:
    print("# Made by events.py: roots of splines of astropy's sun. UTC; rate in deg/s.", file=f)
    print("place,latitude_deg,longitude_deg,elevation_m,zone,date,hours,event,utc,rate", file=f)
    for row in rows:
        print(row, file=f)
print(len(rows), "rows")
