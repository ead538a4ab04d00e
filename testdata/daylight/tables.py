"""Rewrites the check tables of this folder.

    tables.py [FOLDER]

Without FOLDER only spot.csv and twilight.csv, which come from model.py alone.
FOLDER holds the measurements that README.md names; from them come minutes.csv,
quantiles.csv and elsewhere.csv.
"""

import os
import sys

import numpy as np
import pandas as pd

import fit
import model
from model import WORDS, Model

HERE = os.path.dirname(os.path.abspath(__file__))


def write(name, heading, rows):
    with open(os.path.join(HERE, name), "w", encoding="ascii") as f:
        f.write("".join(f"# {line}\n" for line in heading))
        pd.DataFrame(rows).to_csv(f, index=False)


def spot():
    heading = (
        "Light under each condition by the apparent altitude of the sun, at sea level, 1 au, turbidity 2.6, ground 0.2;"
        " worked out by an independent program (model.py) from the written forms. lx.",
        "okta and T stand for oktas and stated turbidity. Beam below 3 deg without the loss that lowSun adds.",
    )
    altitudes = (0, 3, 5, 8, 10, 15, 20, 30, 40, 60, 90)
    m, rows = Model(), []

    def add(name, h, light):
        beam, sky = (float(x) for x in light)
        level = beam * model.sin(h) + sky
        light = {"beam_lx": round(beam, 1), "sky_lx": round(sky, 1), "level_lx": round(level, 1)}
        rows.append({"condition": name, "altitude_deg": h} | light)

    for word in WORDS:
        for h in altitudes:
            add(word, h, m.light(word, h, m.turbidity))
    for h in altitudes:
        for n in (2, 4, 6, 7):
            add(f"okta{n}", h, m.oktas(n, h, m.turbidity))
        for turbidity in (2, 4, 6):
            add(f"T={turbidity}", h, m.cloudless(h, turbidity))
    write("spot.csv", heading, rows)


def twilight():
    heading = (
        "Light on the level below the horizon by the true altitude of the sun, at sea level, 1 au, turbidity 2.6,"
        " worked out by an independent program (model.py) from the written forms. lx.",
    )
    suns = [(-0.57, 0.003), (-0.8333, -0.215), (-2, -1.912), (-4, -3.998)] + [(h, h) for h in (-6, -9, -12, -15, -18)]
    m, rows = Model(), []
    for true, apparent in suns:
        row = {"true_altitude_deg": true, "apparent_altitude_deg": apparent}
        for word in WORDS:
            sky = m.light(word, apparent, m.turbidity)[1]
            if apparent < 0:
                sky *= model.dusk_share(true, apparent)
            row[word] = f"{float(sky):.6g}"
        rows.append(row)
    write("twilight.csv", heading, rows)


STATION = (
    "DTU solar station, Kgs. Lyngby, Denmark (55.79064 N, 12.52505 E, 50 m), 2015-02 to 2017-12,"
    " published as freely available."
)
EFFICACY = (
    "W/m2 turned into lx by the luminous efficacies of Perez et al. 1990 (perez.csv); lit and shade are built from"
    " beam and sky, see README.md."
)


def planes_of(q, word):
    return model.planes(word, q.h.values, q.beam.values, q.sky.values)


def minutes(d):
    heading = (
        "Single measured minutes. " + STATION,
        EFFICACY,
        "Drawn at random, for each condition at most one of a day, and as many from each range of the sun's altitude"
        " as tables.py says.",
    )
    low, middle = [(3, 6), (6, 10)], [(10, 20), (20, 35), (35, 60)]
    plan = {word: {b: 2 for b in middle} for word in WORDS}
    plan["clear"] = {b: 4 for b in low + middle}
    plan["overcast"].update({b: 2 for b in low})
    for word in ("hazy", "heavy"):
        plan[word].update({(6, 10): 1, (35, 60): 1})
    random, rows = np.random.default_rng(20260101), []
    for word in WORDS:
        q, used = fit.minutes_of(d, word), set()
        for (lowest, highest), wanted in sorted(plan[word].items()):
            part = q[(q.h >= lowest) & (q.h < highest)].sample(frac=1, random_state=random)
            part = part[~part.date.isin(used)].drop_duplicates("date").head(wanted)
            used |= set(part.date)
            light = planes_of(part, word)
            for i, (_, r) in enumerate(part.iterrows()):
                row = {"time_utc": r.time, "condition": word, "altitude_deg": round(r.h, 2)}
                row |= {"ghi_wm2": r.ghi, "dni_wm2": r.dni + 0.0, "dhi_wm2": r.dhi}
                row |= {"beam_lx": round(r.beam), "sky_lx": round(r.sky)}
                row |= {p + "_lx": round(light[p][i]) for p in ("level", "lit", "shade")}
                rows.append(row)
    write("minutes.csv", heading, rows)


def at_the_mean(light, q):
    """Log light less its course with altitude (a parabola) and season (a line)."""
    h, season = q.h.values - q.h.mean(), q.season.values - q.season.mean()
    course = np.column_stack([h, h * h, season])
    fitted = np.linalg.lstsq(np.column_stack([course, np.ones(len(q))]), np.log(light), rcond=None)[0]
    return np.log(light) - course @ fitted[:3]


def quantiles(d):
    heading = (
        "10, 50 and 90 % of the measured minutes of each condition in ranges of the sun's altitude (3-6, 6-10, 14-16,"
        " 25.5-28.5, 38-42, 48-52 deg). " + STATION,
        EFFICACY,
        "Each minute is brought to the mean altitude and season along the measured course (log light on both, least"
        " squares), so that the range itself adds no spread.",
        "Minutes of one day are nearly one sample: count days. Altitude, season (sine of the sun's ecliptic longitude)"
        " and distance_factor (1/d^2) are means.",
    )
    rows = []
    for word in WORDS:
        q = fit.minutes_of(d, word)
        for middle, half in ((4.5, 1.5), (8, 2), (15, 1), (27, 1.5), (40, 2), (50, 2)):
            for year in fit.YEARS:
                part = q[(q.h >= middle - half) & (q.h < middle + half) & (q.year == year)]
                if len(part) < 40:
                    continue
                row = {
                    "condition": word, "year": year, "minutes": len(part), "days": part.date.nunique(),
                    "altitude_deg": round(part.h.mean(), 2), "season": round(part.season.mean(), 3),
                    "distance_factor": round(part.distance_factor.mean(), 4),
                }  # fmt: skip
                for plane, light in planes_of(part, word).items():
                    light = np.exp(at_the_mean(light, part))
                    for percent in (10, 50, 90):
                        row[f"{plane}_p{percent}"] = int(round(np.percentile(light, percent), -1))
                rows.append(row)
    write("quantiles.csv", heading, rows)


def elsewhere(folder):
    heading = (
        "Medians within 0.5 deg of the sun's apparent altitude (above 35 deg within 2.5) on clear days of other"
        " climates, days with at least 50 clear samples from 6 deg up:",
        "Golden, Colorado (NREL RMIS), every 5 min; Alamosa, Colorado (NOAA SURFRAD), every minute; Adelaide Airport,"
        " South Australia (BSRN), every minute.",
        EFFICACY,
    )
    every, rows = fit.elsewhere(folder), []
    bins = [(h, 0.5) for h in (4.5, 8, 12.5, 17.5, 22.5, 27.5, 32.5)] + [(h, 2.5) for h in (40, 50, 60, 70, 75)]
    for (place, date), day in every.groupby(["place", "date"]):
        if (day.h >= 6).sum() < 50:
            continue
        for h, half in bins:
            part = day[(day.h > h - half) & (day.h < h + half)]
            if len(part) < 2:
                continue
            row = {"place": place, "date": date, "latitude_deg": part.latitude.iloc[0]}
            row |= {"elevation_m": part.elevation.iloc[0], "altitude_deg": round(part.h.mean(), 2)}
            row |= {"minutes": len(part), "season": round(part.season.mean(), 3), "distance_factor": round(part.distance_factor.mean(), 4)}
            row |= {"beam_lx": round(part.beam.median()), "sky_lx": round(part.sky.median())}
            row |= {p + "_lx": round(np.median(light)) for p, light in planes_of(part, "clear").items()}
            rows.append(row)
    write("elsewhere.csv", heading, rows)


if __name__ == "__main__":
    spot()
    twilight()
    if len(sys.argv) > 1:
        measured = fit.classify(fit.read(sys.argv[1]))
        minutes(measured)
        quantiles(measured)
        elsewhere(sys.argv[1])
