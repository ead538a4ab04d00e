"""Fits the daylight model to three years of measured irradiance and says how well.

    fit.py FOLDER

FOLDER holds the files of README.md. Printed are the coefficients fitted on each
year, on each two and on all, the bands, the accuracy cross-validated (fitted on
two years, tried on the third), the bars, and other climates. Takes a minute.

Errors and bands are in stops, log2(measured / estimated).
"""

import os
import sys
from dataclasses import replace

import numpy as np
import pandas as pd
from scipy.optimize import linprog, minimize, minimize_scalar
from scipy.sparse import csr_matrix

import model
from model import SOLAR, WORDS, Cloud, Model, Site, air_mass, rounded_sine, sin

LATITUDE, LONGITUDE, SITE = 55.79064, 12.52505, Site(50)
LOWEST = 1.8  # deg; below, trees and hills at the station hide the sun
YEARS = (2015, 2016, 2017)
FILES = {"lyngby_2015_2016.csv.gz": 2, "lyngby_2017.csv.gz": 3}  # minutes between samples
PLANES = ("lit", "shade", "level")
BINS = [3, 6, 10, 20, 35, 60]


# Reading, quality control and light --------------------------------------------


def sun(times, latitude, longitude, pressure=1010.0, celsius=10.0):
    """Sun by Meeus, Astronomical Algorithms, 2nd ed. 1998, ch. 25 (low
    precision), refraction by Saemundsson (Meeus 16.4)."""
    days = times.to_julian_date().values - 2451545.0
    t = (days + 69 / 86400) / 36525
    anomaly = 357.52911 + t * (35999.05029 - 0.0001537 * t)
    eccentricity = 0.016708634 - t * 0.000042037
    centre = sin(anomaly) * (1.914602 - t * 0.004817)
    centre += sin(2 * anomaly) * (0.019993 - 0.000101 * t) + sin(3 * anomaly) * 0.000289
    node = 125.04 - 1934.136 * t
    longitude_sun = 280.46646 + t * (36000.76983 + t * 0.0003032) + centre - 0.00569 - 0.00478 * sin(node)
    distance = 1.000001018 * (1 - eccentricity**2) / (1 + eccentricity * model.cos(anomaly + centre))
    obliquity = 23.4392911 - t * 0.0130042 + 0.00256 * model.cos(node)
    declination = np.arcsin(sin(obliquity) * sin(longitude_sun))
    ascension = np.arctan2(model.cos(obliquity) * sin(longitude_sun), model.cos(longitude_sun))
    hour = np.radians(280.46061837 + 360.98564736629 * days + longitude) - ascension
    true = np.degrees(
        np.arcsin(sin(latitude) * np.sin(declination) + model.cos(latitude) * np.cos(declination) * np.cos(hour))
    )
    true -= 8.794 / 3600 * model.cos(true)
    safe = np.maximum(true, -1)
    lift = 1.02 / 60 / np.tan(np.radians(safe + 10.3 / (safe + 5.11))) * pressure / 1010 * 283 / (273 + celsius)
    return pd.DataFrame(
        {
            "true_h": true,
            "h": true + lift,
            "distance_factor": 1 / distance**2,
            "season": sin(longitude_sun),
            "day": times.dayofyear.values,
        }
    )


def water(day):
    """Water in the air over Denmark, cm, from the mean dew point of the day:
    0 deg C in early February, 11.6 in early August."""
    dew_point = 5.8 - 5.8 * np.cos(2 * np.pi * (day - 35) / 365.25)
    return np.exp(0.07 * dew_point - 0.075)


def efficacy(dni, dhi, h, distance_factor, water_cm):
    """Luminous efficacy, lm/W, of the beam and of the diffuse light (Perez et
    al. 1990; perez.csv has the equations)."""
    here = os.path.dirname(os.path.abspath(__file__))
    table = pd.read_csv(os.path.join(here, "perez.csv"), comment="#")
    zenith = np.radians(90 - h)
    dhi = np.maximum(dhi, 0.5)
    delta = dhi * air_mass(np.maximum(h, -2)) / (1367 * distance_factor)
    clearness = ((dhi + np.maximum(dni, 0)) / dhi + 1.041 * zenith**3) / (1 + 1.041 * zenith**3)
    row = np.digitize(clearness, table[table.light == "beam"].clearness_below[:-1])
    a, b, c, d = table[table.light == "beam"][["a", "b", "c", "d"]].values[row].T
    beam = np.maximum(0, a + b * water_cm + c * np.exp(5.73 * zenith - 5) + d * delta)
    a, b, c, d = table[table.light == "diffuse"][["a", "b", "c", "d"]].values[row].T
    return beam, a + b * water_cm + c * np.cos(zenith) + d * np.log(delta)


def sound(ghi, dni, dhi, h):
    """Quality control: the three instruments agree, none is off, and the row
    is not a fill-in of three equal values."""
    parts = dni * sin(h) + dhi
    return (
        ~((ghi == dni) & (dni == dhi)) & (np.abs(ghi - parts) <= np.maximum(3, 0.08 * parts))
        & (ghi > 0) & (dhi > 0) & (dni > -6)
    )  # fmt: skip


def read(folder):
    """Every sample of the station with its sun and its light; `minute` counts
    from the first, `step` is how many minutes lie between two samples."""
    files = []
    for name, step in FILES.items():
        part = pd.read_csv(os.path.join(folder, name), comment="#")
        part.columns = ["time", "ghi", "dni", "dhi"]
        files.append(part.assign(step=step))
    d = pd.concat(files, ignore_index=True)
    times = pd.DatetimeIndex(pd.to_datetime(d.time))
    d = d.join(sun(times, LATITUDE, LONGITUDE))
    d["date"], d["year"] = times.date, times.year
    d["minute"] = ((times - times[0]).total_seconds() / 60).astype(int)
    d["sound"] = sound(d.ghi, d.dni, d.dhi, d.h)
    d["dni"] = d.dni.clip(lower=0)
    of_beam, of_sky = efficacy(d.dni, d.dhi, d.h, d.distance_factor, water(d.day))
    d["beam"], d["sky"] = of_beam * d.dni, of_sky * d.dhi.clip(lower=0)
    return d


# The words ----------------------------------------------------------------------


def around(d, values, what, minutes, least):
    """A statistic over the sound samples within so many minutes of each one;
    NaN where fewer than the share `least` of those that could be are sound."""
    grid = np.full(d.minute.max() + 1, np.nan)
    grid[d.minute] = np.where(d.sound, values, np.nan)
    window = pd.Series(grid).rolling(2 * minutes + 1, center=True, min_periods=1)
    enough = window.count().values[d.minute] >= least * (2 * (minutes // d.step) + 1)
    return np.where(enough, getattr(window, what)().values[d.minute], np.nan)


def classify(d):
    """Adds the condition of every sound sample, by what it and its neighbours
    within a quarter of an hour measured (README.md has the rules in words),
    and the turbidity that its beam shows."""
    shipped = Model()
    quarter = lambda values, what: around(d, values, what, 14, 0.7)
    # What a word means does not move when the model is fitted anew.
    clear_beam = SOLAR * d.distance_factor * np.exp(-shipped.depth(air_mass(d.h)) * (2.5 + 0.25 * d.season))
    share = d.beam / clear_beam
    d["turbidity"] = np.log(SOLAR * d.distance_factor / d.beam.clip(lower=1e-3)) / shipped.depth(air_mass(d.h))

    mean_turbidity = quarter(d.turbidity, "mean")
    clear = (quarter(d.turbidity, "std") < 0.35) & (mean_turbidity < 7) & (quarter(d.dni, "min") > 5)
    most, least, mean = quarter(share, "max"), quarter(share, "min"), quarter(share, "mean")
    broken = ~clear & (most > 0.6) & (least < 0.1)
    thin = ~clear & ~broken & (least > 0.05) & (most < 1) & (mean > 0.1) & (mean < 0.7)
    overcast = quarter(d.dni, "max") < 5
    dull = d.sky / shipped.light("overcast", d.h, 2.5, d.distance_factor)[1]

    d["word"] = ""
    d.loc[overcast, "word"] = "overcast"
    d.loc[broken & (share > 0.5), "word"] = "broken sun"
    d.loc[broken & (share < 0.1), "word"] = "broken cloud"
    d.loc[thin, "word"] = "thin"
    d.loc[clear, "word"] = "clear"
    d["hazy"] = clear & (mean_turbidity > 3.3)
    d["heavy"] = overcast & (around(d, dull, "mean", 30, 0.5) < 0.6)
    return d[d.sound & (d.h > -0.3)].copy()


def minutes_of(d, word):
    if word in ("hazy", "heavy"):
        return d[d[word]]
    return d[d.word == word]


# Coefficients -------------------------------------------------------------------


def evenly(q, power):
    """Weights that keep the many minutes of a high sun from outweighing the few
    of a low one, and make every year count alike: its air is one sample."""
    edges = np.array([3, 4.5, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 60])
    which = np.digitize(q.h, edges)
    weight = pd.Series(np.bincount(which)[which] ** -power, index=q.index)
    return (weight / weight.groupby(q.year).transform("sum")).values


def least_absolute(error, start, weight):
    """Parameters of the least weighted absolute error."""
    mean = lambda p: np.sum(weight * np.abs(error(p))) / weight.sum()
    tight = dict(maxiter=5000, maxfev=5000, xatol=1e-5, fatol=1e-7)
    first = minimize(mean, start, method="Nelder-Mead", options=tight)
    return minimize(mean, first.x, method="Nelder-Mead", options=tight).x


def depths(q, m):
    """Optical depth that each beam shows, and that of the cleanest air by air
    mass over SITE: it is their ratio that is turbidity."""
    mass = SITE.pressure() * air_mass(q.h.values)
    return np.log(SOLAR * q.distance_factor / q.beam).values, mass


def fit_beam(q, m):
    """Mean and season of the turbidity, at sea level."""
    depth, mass = depths(q, m)
    season = q.season.values
    error = lambda p: depth - m.at(SITE, p[0] + p[1] * season) * m.depth(mass)
    return least_absolute(error, [2.5, 0.3], evenly(q, 0.6))


def fit_beam_freely(q, m):
    """The term of air mass, mean and season of the turbidity, and the day of
    the most, all free."""
    depth, mass = depths(q, m)
    day = 2 * np.pi * q.day.values / 365.25
    turbidity = lambda p: m.at(SITE, p[1] + p[2] * np.cos(day) + p[3] * np.sin(day))
    error = lambda p: depth - turbidity(p) * mass / (9.9 + p[0] * mass)
    b, mean, c, s = least_absolute(error, [0.24, 2.5, -0.3, 0], evenly(q, 0.6))
    return b, mean, np.hypot(c, s), np.degrees(np.arctan2(s, c)) % 360 * 365.25 / 360


def fit_clear_sky(q, m, root=None):
    """share, power, bend, swallows and root of the clear sky, given the
    turbidity that each beam shows; root fixed unless None."""
    depth, mass = depths(q, m)
    turbidity = depth / m.depth(mass)
    q, turbidity = q[turbidity < 8], turbidity[turbidity < 8]
    measured = np.log2(q.sky / q.distance_factor).values

    def error(p):
        m.share, m.power, m.bend, m.swallows = p[:4]
        m.root = root or p[4]
        return measured - np.log2(m.cloudless(q.h.values, turbidity)[1])

    start = [0.47, 1.11, 0.25, 0.14] + ([] if root else [0.5])
    return least_absolute(error, start, evenly(q, 0.6))


def fit_clouds(d, m):
    for word in ("thin", "broken sun", "broken cloud", "overcast"):
        q = minutes_of(d, word)
        weight, shipped = evenly(q, 0.6), m.clouds[word]
        measured = np.log2(q.sky / q.distance_factor / SOLAR).values

        def error(p):
            cloud = Cloud(p[0], p[1], shipped.horizon)
            return measured - np.log2(cloud.share * rounded_sine(q.h.values, cloud.least()) ** cloud.power)

        cloud = Cloud(*least_absolute(error, [0.3, 1.0], weight), shipped.horizon)
        if shipped.beam is not None:
            clear = m.light("clear", q.h, m.seasonal(q.season, SITE), q.distance_factor, SITE)[0]
            lost = np.log2(q.beam.clip(lower=1) / clear).values
            mass = air_mass(q.h.values) * (word == "thin")
            cloud.beam, cloud.beam_by_mass = least_absolute(lambda p: lost - p[0] - p[1] * mass, [-0.5, 0], weight)
            cloud.beam_by_mass *= word == "thin"
        m.clouds[word] = cloud


def fit(d):
    """The model of some minutes."""
    d = d[d.h > LOWEST]
    m, clear = Model(), minutes_of(d, "clear")
    m.turbidity, m.season = fit_beam(clear, m)
    m.share, m.power, m.bend, m.swallows = fit_clear_sky(clear, m, m.root)
    hazy = minutes_of(d, "hazy")
    depth, mass = depths(hazy, m)
    m.hazy = m.sea(SITE, np.median(depth / m.depth(mass)))
    fit_clouds(d, m)
    heavy = minutes_of(d, "heavy")
    deeper = np.log2(heavy.sky / m.light("overcast", heavy.h, m.turbidity, heavy.distance_factor)[1])
    m.heavy = deeper.groupby(pd.cut(heavy.h, [LOWEST, *BINS]), observed=True).median().mean()
    return m


def coefficients(d, m):
    """What is printed of a fit."""
    clear = minutes_of(d[d.h > LOWEST], "clear")
    b, mean, season, day = fit_beam_freely(clear, m)
    root = fit_clear_sky(clear, Model())[4]
    rows = {
        "turbidity, mean": m.turbidity,
        "turbidity, season": m.season,
        "mass term, free": b,
        "turbidity mean with it": mean,
        "turbidity season with it": season,
        "day of most with it": day,
        "turbidity, hazy": m.hazy,
        "share of minutes hazy": clear.hazy.mean(),
        "clear sky share": m.share,
        "clear sky power": m.power,
        "clear sky bend": m.bend,
        "clear sky swallows": m.swallows,
        "clear sky root, free": root,
    }
    for word, cloud in m.clouds.items():
        rows[word + " share"], rows[word + " power"] = cloud.share, cloud.power
        if cloud.beam is not None:
            rows[word + " beam"] = cloud.beam
    rows["thin beam by air mass"] = m.clouds["thin"].beam_by_mass
    rows["heavy below overcast"] = m.heavy
    return rows


# Errors and bands ---------------------------------------------------------------

NODES = np.array([0, 4.5, 8, 15, 27, 45])  # altitudes of the bands, deg


def errors(q, m, word):
    """Stops of the three planes. The planes were not measured: both sides are
    built from beam and sky in the same way."""
    q = q[q.h > (LOWEST if word in model.SUNNY else 0.3)]
    beam, sky = m.light(word, q.h.values, m.seasonal(q.season.values, SITE), q.distance_factor.values, SITE)
    estimated = model.planes(word, q.h.values, beam, sky)
    measured = model.planes(word, q.h.values, q.beam.values, q.sky.values)
    out = pd.DataFrame({p: np.log2(measured[p] / estimated[p]) for p in PLANES}, index=q.index)
    return out.assign(h=q.h, year=q.year, date=q.date)


def quantile_line(e, column, q):
    """The q-quantile of a column as straight lines between NODES: quantile
    regression (Koenker & Bassett 1978), solved by its dual."""
    h, values = e.h.values, e[column].values
    basis = np.stack([np.interp(h, NODES, unit) for unit in np.eye(len(NODES))], 1)
    weight = evenly(e, 0.5)
    weight /= weight.mean()
    dual = linprog(
        -values, A_eq=csr_matrix(basis.T), b_eq=(1 - q) * (basis.T @ weight),
        bounds=np.stack([np.zeros(len(h)), weight], 1), method="highs",
    )  # fmt: skip
    return -dual.eqlin.marginals


def band(e, plane):
    """Fitted at 9 and 91 %, so that a year not seen, which is off centre by
    its own turbidity, still holds about 80 %."""
    return [quantile_line(e, plane, q) for q in (0.09, 0.91)]


def inside(e, plane, lines):
    low, high = (np.interp(e.h, NODES, line) for line in lines)
    return (e[plane] >= low) & (e[plane] <= high)


def by_altitude(e):
    return e.groupby(pd.cut(e.h, BINS, right=False), observed=False)


def foretold(d, word, fits):
    """Errors of every year under model and bands fitted on the others, and
    whether the band of each plane holds them."""
    parts = []
    for year, m in fits.items():
        e = errors(minutes_of(d, word), m, word)
        seen, unseen = e[e.year != year], e[(e.year == year) & (e.h >= BINS[0])]
        held = {plane + "_held": inside(unseen, plane, band(seen, plane)) for plane in PLANES}
        parts.append(unseen.assign(**held))
    return pd.concat(parts)


def accuracy(e):
    """Share inside, of all and by year, and bias, 10 and 90 % and share inside
    by altitude."""
    for plane in PLANES:
        bins = by_altitude(e)
        quantiles = bins[plane].quantile([0.1, 0.5, 0.9]).unstack()
        cells = [
            f"{q[0.5]:+.2f} ({q[0.1]:+.2f} {q[0.9]:+.2f}) {held:3.0%}"
            for (_, q), held in zip(quantiles.iterrows(), bins[plane + "_held"].mean())
        ]
        years = " ".join(f"{x:.0%}" for x in e.groupby("year")[plane + "_held"].mean())
        print(f"  {plane:6}{e[plane + '_held'].mean():6.1%} ({years})  " + "  ".join(cells))


def bars(e, name):
    print(f"  {name}")
    for low, high, most, within in [(10, 90, 0.05, 0.20), (3, 6, 0.08, None), (6, 10, 0.08, None), (3, 10, None, 0.70)]:
        lit = e[(e.h >= low) & (e.h < high)].lit
        median = f"median {lit.median():+.3f}" + (f" (bar {most})" if most else "")
        size = f"90 % within {lit.abs().quantile(0.9):.3f}" + (f" (bar {within})" if within else "")
        print(f"    {low:2}-{high:2} {median:27} {size}")


# Elsewhere ----------------------------------------------------------------------


def weight_of_season(latitude):
    return np.sign(latitude) * np.clip((abs(latitude) - 15) / 20, 0, 1)


def elsewhere(folder):
    """Clear minutes of other climates, with the sun, the light, the place and
    the day there. Files in lx carry their own word; at Alamosa it was clear
    all day."""
    places = {
        "Golden": ("golden_co_2019_02_01_06.csv", 39.7406, -105.1775, 1792, -7),
        "Adelaide": ("adelaide_au_2013_01_first.csv", -34.9524, 138.5204, 2, 10),
        "Alamosa": ("alamosa_2016-01-01.csv", 37.70, -105.92, 2317, -7),
    }
    parts = []
    for name, (file, latitude, longitude, elevation, zone) in places.items():
        q = pd.read_csv(os.path.join(folder, file), comment="#")
        times = pd.DatetimeIndex(pd.to_datetime(q.time_utc))
        pressure = 1013.25 * Site(elevation).pressure()
        q = q.join(sun(times, latitude, longitude, pressure))
        q["date"] = (times + pd.Timedelta(hours=zone)).date
        if "ghi_wm2" in q:
            q = q[sound(q.ghi_wm2, q.dni_wm2, q.dhi_wm2, q.h)]
            dry = np.exp(0.07 * -15 - 0.075)  # water at a dew point of -15 deg C, cm
            of_beam, of_sky = efficacy(q.dni_wm2, q.dhi_wm2, q.h, q.distance_factor, dry)
            q["beam"], q["sky"] = of_beam * q.dni_wm2, of_sky * q.dhi_wm2
        else:
            q = q[q.word == "clear"].assign(beam=q.dn, sky=q.dh)
        parts.append(q[q.h > LOWEST].assign(place=name, latitude=latitude, elevation=elevation))
    return pd.concat(parts, ignore_index=True)


def place_errors(q, m):
    """Stops of the planes of one place."""
    site = Site(q.elevation.iloc[0])
    t = m.seasonal(q.season.values, site, weight_of_season(q.latitude.iloc[0]))
    beam, sky = m.cloudless(q.h.values, t, q.distance_factor.values, site)
    estimated = model.planes("clear", q.h.values, beam, sky)
    measured = model.planes("clear", q.h.values, q.beam.values, q.sky.values)
    out = pd.DataFrame({p: np.log2(measured[p] / estimated[p]) for p in PLANES}, index=q.index)
    shown = np.log(SOLAR * q.distance_factor / q.beam) / m.depth(site.pressure() * air_mass(q.h))
    return out.assign(h=q.h, place=q.place, date=q.date, turbidity=shown, of_sky=np.log2(q.sky / sky), season=t)


def fitted_scale(q, m):
    """The height over which haze falls to 1/e that makes lit of a high place
    right, each day alike: the least absolute error."""
    days = q.groupby("date").h.transform("size")
    cost = lambda scale: (place_errors(q, replace(m, haze_scale=scale)).lit.abs() / days).sum()
    return minimize_scalar(cost, bounds=(1500, 40000), method="bounded").x


def show_day(q, m, lines, by="date"):
    """Lit of a place's days from 6 deg up and by altitude, and the share of
    the minutes in bands that nothing widens."""
    for date, e in place_errors(q, m).groupby(by):
        six = e[e.h >= 6]
        bins = six.groupby(pd.cut(six.h, [6, 10, 20, 35, 60, 90]), observed=True).lit.median()
        low = e[(e.h >= 3) & (e.h < 6)].lit
        held = " ".join(f"{inside(six, plane, lines[plane]).mean():4.0%}" for plane in PLANES)
        print(
            f"  {e.place.iloc[0]:9}{date}  T {six.turbidity.median():.2f} ({six.season.median():.2f} taken)  "
            f"{six.lit.median():+.2f} / {six.lit.abs().quantile(0.9):.2f}  {held}  3-6 {low.median():+.2f}  "
            + " ".join(f"{interval.left:.0f}-{interval.right:.0f} {x:+.2f}" for interval, x in bins.items())
        )


def show_elsewhere(folder, m, lines):
    q = elsewhere(folder)
    q = q[q.h >= 3]
    none = replace(m, haze_scale=np.inf)
    print("\nElsewhere, clear: turbidity; lit from 6 deg up: median / 90 %; in bands not widened: lit, shade, level")
    high = ("Golden", "Alamosa")
    scales = {place: fitted_scale(q[q.place == place], m) for place in high}
    print(f"  Haze falls to 1/e over: {scales[high[0]]:.0f} m by Golden, {scales[high[1]]:.0f} m by Alamosa")
    for place, other in (high, high[::-1]):
        print(f" {place} with the height that {other} says")
        show_day(q[q.place == place], replace(m, haze_scale=scales[other]), lines)
    for name, used in (("without", none), ("shipped", m)):
        print(f" {name}")
        for place in ("Golden", "Alamosa", "Adelaide"):
            show_day(q[q.place == place], used, lines)


def main(folder):
    every = read(folder)
    print(f"{len(every)} samples, {every.sound.mean():.1%} sound")
    d = classify(every)
    count = lambda e: by_altitude(e).agg(n=("h", "size"), days=("date", "nunique"))
    text = {w: count(minutes_of(d, w)).agg(lambda r: f"{r.n} ({r.days})", axis=1) for w in WORDS}
    print("\nMinutes (days)\n" + pd.DataFrame(text).to_string())

    one = {year: fit(d[d.year == year]) for year in YEARS}
    fits = {year: fit(d[d.year != year]) for year in YEARS}
    rows = {str(year): coefficients(d[d.year == year], m) for year, m in one.items()}
    rows |= {f"not {year}": coefficients(d[d.year != year], m) for year, m in fits.items()}
    rows["all"] = coefficients(d, fit(d))
    print("\nCoefficients\n" + pd.DataFrame(rows).to_string(float_format=lambda x: f"{x:.3f}"))

    shipped = Model()
    print(f"\nBands of the shipped model, fitted on all years at {NODES} deg")
    print("(sunny words from 4.5 deg up; below 1.8 nothing is measured)")
    lines = {}
    for word in WORDS:
        e = errors(minutes_of(d, word), shipped, word)
        lines[word] = {plane: band(e, plane) for plane in PLANES}
        for plane in PLANES:
            nodes = [f"{low:+.2f}/{high:+.2f}" for low, high in zip(*lines[word][plane])]
            if word in model.SUNNY:
                nodes[0] = " " * len(nodes[0])
            print(f"  {word:13}{plane:6}" + "  ".join(nodes))

    print(f"\nEvery year by the two others: share in the band (by year), by {BINS} deg bias (10 % 90 %) share in it")
    unseen = {word: foretold(d, word, fits) for word in WORDS}
    for word in WORDS:
        print(f" {word}")
        accuracy(unseen[word])

    print("\nBars: lit, clear")
    e = unseen["clear"]
    for year in YEARS:
        bars(e[e.year == year], f"{year} by the others")
    bars(e, "every year by the others")
    e = errors(minutes_of(d, "clear"), shipped, "clear")
    for year in YEARS:
        bars(e[e.year == year], f"shipped, {year}")
    bars(e, "shipped, all years")
    show_elsewhere(folder, shipped, lines["clear"])


if __name__ == "__main__":
    main(sys.argv[1])
