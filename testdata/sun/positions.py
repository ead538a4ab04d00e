"""Writes positions.csv: the sun at 480 moments, 1950 to 2100, pole to pole.

How to run (Debian 12: apt install python3-astropy python3-ephem nodejs npm):

    npm install --prefix /tmp/engine astronomy-engine@2.1.19
    NODE_PATH=/tmp/engine/node_modules /usr/bin/python3 positions.py

Times are UT1, and delta T = TT - UT1 is given for each row, so that the table
compares ephemerides and not guesses about the turning of the Earth: observed
where the IERS has observed it (1962-2022), the polynomial of Espenak & Meeus
(2006) from 1950 to 1961, and after 2022 the straight line 60 + 0.58 (y - 2000) s
that the package takes too, since nobody knows.

A second authority, astronomy-engine (its own model of the sun, VSOP87
truncated), is in the last two columns, worked out for the same UT1 and delta T.
A third, PyEphem (libastro), keeps its own delta T and is only compared here,
over the years in which that agrees within a second.
"""

import datetime
import json
import math
import random
import subprocess

import ephem
import numpy as np
from astropy import units as u
from astropy.coordinates import get_sun
from astropy.time import Time

import reference

ROWS = 480
LATITUDES = [-90, -89.9, -80, -66.6, -51.5, -33.9, -23.4, -10, 0, 10, 23.4, 40, 51.5, 60, 66.6, 78.2, 89.9, 90]


def delta_t(when):
    year = when.year + (when.timetuple().tm_yday - 0.5) / 365.25
    if when < datetime.datetime(1962, 1, 1):
        t = year - 1950
        return 29.07 + 0.407 * t - t * t / 233 + t**3 / 2547
    if when < datetime.datetime(2022, 11, 1):
        utc = Time(when, scale="utc")
        return float(((utc.tt.jd1 - utc.ut1.jd1) + (utc.tt.jd2 - utc.ut1.jd2)) * 86400)
    return 60 + 0.58 * (year - 2000)


def separation(alt1, az1, alt2, az2):
    a1, z1, a2, z2 = (np.radians(x) for x in (alt1, az1, alt2, az2))
    h = np.sin((a1 - a2) / 2) ** 2 + np.cos(a1) * np.cos(a2) * np.sin((z1 - z2) / 2) ** 2
    return np.degrees(2 * np.arcsin(np.sqrt(h)))


def summary(name, deg):
    return f"{name}: {len(deg)} rows, rms {math.sqrt(np.mean(deg**2)):.5f} deg, worst {deg.max():.5f} deg"


random.seed(20260912)
rows = []
begin = datetime.datetime(1950, 1, 1)
span = (datetime.datetime(2101, 1, 1) - begin).total_seconds()
for i in range(ROWS):
    # Times are spread evenly over the years and at random within each share.
    when = begin + datetime.timedelta(seconds=int(span * (i + random.random()) / ROWS))
    rows.append(
        {
            "ut1": when,
            "latitude": LATITUDES[i % len(LATITUDES)],
            "longitude": round(random.uniform(-180, 180), 3),
            "elevation": random.choice([0, 0, 100, 1600, 4000]),
            "delta_t": round(delta_t(when), 2),
        }
    )

column = lambda name: np.array([row[name] for row in rows])
noon2000 = datetime.datetime(2000, 1, 1, 12)
days = np.array([(row["ut1"] - noon2000).total_seconds() / 86400 for row in rows])
utc = reference.at_ut1(np.full(ROWS, 2451545.0), days, column("delta_t"))
altitude, azimuth = reference.sun(utc, column("latitude"), column("longitude"), column("elevation"))
distance = get_sun(utc).distance.to_value(u.au)

asked = [dict(row, ut1=row["ut1"].isoformat() + "Z") for row in rows]
answer = subprocess.run(["node", "engine.cjs"], input=json.dumps(asked), capture_output=True, text=True, check=True)
engine = np.array(json.loads(answer.stdout))
notes = [summary("astronomy-engine against astropy", separation(altitude, azimuth, engine[:, 0], engine[:, 1]))]

third, same = [], []
for i, row in enumerate(rows):
    if abs(ephem.delta_t(row["ut1"].strftime("%Y/%m/%d")) - row["delta_t"]) > 1:
        continue
    o = ephem.Observer()
    o.lat, o.lon = math.radians(row["latitude"]), math.radians(row["longitude"])
    o.elevation, o.pressure = row["elevation"], 0
    o.date = row["ut1"].strftime("%Y/%m/%d %H:%M:%S")
    s = ephem.Sun(o)
    third.append((math.degrees(s.alt), math.degrees(s.az)))
    same.append(i)
third = np.array(third)
notes.append(summary("PyEphem against astropy", separation(altitude[same], azimuth[same], third[:, 0], third[:, 1])))

with open("positions.csv", "w") as f:
    print("# Made by positions.py with astropy's built-in ephemeris; engine columns by astronomy-engine 2.1.19.", file=f)
    print("# Centre of the sun, topocentric, no air. UT1 and delta T as explained in positions.py.", file=f)
    for note in notes:
        print("# " + note, file=f)
        print(note)
    print("ut1,latitude_deg,longitude_deg,elevation_m,delta_t_s,altitude_deg,azimuth_deg,distance_au,engine_altitude_deg,engine_azimuth_deg", file=f)
    for i, row in enumerate(rows):
        print(
            f"{row['ut1'].isoformat()}Z,{row['latitude']},{row['longitude']},{row['elevation']},{row['delta_t']:.2f},"
            f"{altitude[i]:.5f},{azimuth[i]:.5f},{distance[i]:.6f},{engine[i,0]:.5f},{engine[i,1]:.5f}",
            file=f,
        )
