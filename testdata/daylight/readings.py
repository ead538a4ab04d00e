"""What a meter reading is worth afterwards, on three measured years.

    readings.py FOLDER

FOLDER as for fit.py. Model, fading and bands are fitted on two years and tried
on the third, all three ways; the errors of the three are pooled. Stops,
log2(measured / estimated). Takes two minutes.

Under a clear sky readings give the turbidity, and a factor on the sky's light:
the likeliest of both, as far as the meter can be trusted. Under cloud the
error that a reading shows is carried on, faded by word and age.
"""

import sys

import numpy as np
import pandas as pd
from scipy.optimize import minimize

import fit
import model
from fit import PLANES, YEARS

METER = 0.1  # stop, standard deviation of a meter
AIR = 0.5  # of the day's turbidity about the season's
SKY = 0.15  # of the sky's own light about the model's at the right turbidity, stops
SKY_LASTS = 150.0  # min, in which the sky's own factor fades to 1/e
HIGHEST = 6.0  # turbidity searched up to
SUNS = [(3, 6), (6, 10), (10, 20), (20, 60), (3, 10), (10, 60)]
CLOUDY = ("thin", "broken sun", "broken cloud", "overcast", "heavy")
CLEAR_AGES = (3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60)  # min, all alike
AGES = (5, 10, 15, 20, 30, 45, 60, 75, 90, 120)  # min, that fading is fitted at
SHOWN = (5, 10, 30, 60, 90, 120)


def pairs(q, ages):
    """Indices of the samples now and so many minutes later, both in q, with
    the age; within a minute of it where there is none at the very minute."""
    row_at = np.full(q.minute.max() + 200, -1)
    row_at[q.minute] = np.arange(len(q))
    now, later, old = [], [], []
    for age in ages:
        then = row_at[q.minute.values + age]
        for near in (1, -1):
            then = np.where(then < 0, row_at[q.minute.values + age + near], then)
        found = np.flatnonzero(then >= 0)
        now.append(found)
        later.append(then[found])
        old.append(np.full(len(found), age))
    return np.concatenate(now), np.concatenate(later), np.concatenate(old)


def ninety(x):
    return np.quantile(np.abs(x), 0.9)


# Clear sky ------------------------------------------------------------------------


class Clear:
    """The clear minutes of a year under a model."""

    def __init__(self, q, m):
        self.q = q[q.h >= 3].reset_index(drop=True)
        self.m = m
        self.h, self.far = self.q.h.values, self.q.distance_factor.values
        self.season = m.seasonal(self.q.season.values, fit.SITE)
        self.measured = model.planes("clear", self.h, self.q.beam.values, self.q.sky.values)

    def planes(self, turbidity, sky=0.0, i=slice(None)):
        """Light of the samples i, the sky's so many stops above the model's."""
        beam, of_sky = self.m.cloudless(self.h[i], turbidity, self.far[i], fit.SITE)
        return model.planes("clear", self.h[i], beam, of_sky * 2**sky)

    def turbidity(self, lit):
        """The turbidity that gives lit; beyond HIGHEST the lit plane of a high
        sun brightens again."""
        low, high = np.full(len(lit), 1.0), np.full(len(lit), HIGHEST)
        for _ in range(20):
            middle = (low + high) / 2
            bright = self.planes(middle)["lit"] > lit
            low, high = np.where(bright, middle, low), np.where(bright, high, middle)
        return (low + high) / 2

    def weight(self, air):
        """Of a reading of lit against the season's turbidity, by how much lit
        changes with turbidity."""
        change = np.log2(self.planes(self.season + 0.1)["lit"] / self.planes(self.season - 0.1)["lit"]) / 0.2
        return air**2 / (air**2 + (METER / change) ** 2)

    def likeliest(self, readings):
        """Turbidity and the sky's factor in stops that make the sum of squares
        least: of each reading's miss over METER, of the turbidity's distance
        from the season's over AIR, of the factor over SKY. Gauss and Newton."""
        t, f, step = self.season.copy(), np.zeros(len(self.h)), 0.05
        for _ in range(8):
            here, thicker, bluer = self.planes(t, f), self.planes(t + step, f), self.planes(t, f + step)
            a, b, c = 1 / AIR**2, 0.0, 1 / SKY**2
            u, v = (self.season - t) / AIR**2, -f / SKY**2
            for plane, light in readings.items():
                miss = np.log2(light / here[plane])
                by_t, by_f = np.log2(thicker[plane] / here[plane]) / step, np.log2(bluer[plane] / here[plane]) / step
                a, b, c = a + by_t**2 / METER**2, b + by_t * by_f / METER**2, c + by_f**2 / METER**2
                u, v = u + by_t * miss / METER**2, v + by_f * miss / METER**2
            along = (c * u - b * v) / (a * c - b * b)
            t, f = np.clip(t + np.clip(along, -1, 1), 1, HIGHEST), f + (a * v - b * u) / (a * c - b * b)
        return t, f


def clear_errors(c, random):
    """Errors of the planes after readings, by the way of using them."""
    now, later, age = pairs(c.q, CLEAR_AGES)
    lit, shade = (c.measured[p] * 2 ** random.normal(0, METER, len(c.q)) for p in ("lit", "shade"))
    whole = c.turbidity(lit)
    ways = {
        "none": (c.season, 0),
        "exact": (c.turbidity(c.measured["lit"]), 0),
        "whole": (whole, 0),
        "weighted": (c.season + c.weight(0.6) * (whole - c.season), 0),
        "likeliest": c.likeliest({"lit": lit}),
        "shade": c.likeliest({"shade": shade}),
        "both": c.likeliest({"lit": lit, "shade": shade}),
    }
    out = {"h": c.h[later], "age": age, "year": c.q.year.values[later]}
    for way, (t, f) in ways.items():
        f = np.broadcast_to(f, t.shape)[now] * np.exp(-age / SKY_LASTS)
        light = c.planes(c.season[later] + (t - c.season)[now], f, later)
        out |= {f"{way} {p}": np.log2(c.measured[p][later] / light[p]) for p in PLANES}
    season = c.planes(c.season)["lit"]
    out["kept lit"] = out["none lit"] - np.log2(c.measured["lit"] / season)[now]
    out["kept, meter lit"] = out["none lit"] - np.log2(lit / season)[now]
    return pd.DataFrame(out)


def show_clear(e):
    print(f"Clear: 90 % of |error|, ages to 60 min alike (at 60 min); exact, else a meter of {METER}")
    for plane in PLANES:
        ways = [k[: -len(plane) - 1] for k in e.columns if k.endswith(" " + plane)]
        print(f"  {plane:6}" + "".join(f"{way:>15}" for way in ways))
        for low, high in SUNS:
            part = e[(e.h >= low) & (e.h < high)]
            hour = part[part.age == 60]
            cells = [f"{ninety(part[f'{w} {plane}']):.3f} ({ninety(hour[f'{w} {plane}']):.3f})" for w in ways]
            print(f"  {low:2}-{high:<3}" + "".join(f"{cell:>15}" for cell in cells))
    for year, part in e.groupby("year"):
        for low, high in SUNS[-2:]:
            lit = part[(part.h >= low) & (part.h < high)]
            cells = [f"{w} {ninety(lit[w + ' lit']):.3f}" for w in ("none", "exact", "whole", "weighted", "likeliest")]
            print(f"  {year} {low}-{high}: " + ", ".join(cells))


def show_clear_bands(e):
    """9 and 91 % of what readings leave: fitted on two years, tried on the third."""
    print(f"\nClear: bands after readings by a meter of {METER} at {fit.NODES} deg (below 4.5 judgement), and held")
    some = lambda x: x.groupby("year", group_keys=False).apply(lambda y: y.sample(min(len(y), 10000), random_state=1))
    lines = lambda x, column: fit.band(x, column)
    for way in ("exact", "likeliest", "both"):
        for plane in PLANES:
            column, held = f"{way} {plane}", []
            for year in YEARS:
                unseen = e[e.year == year]
                low, high = (np.interp(unseen.h, fit.NODES, x) for x in lines(some(e[e.year != year]), column))
                held.append((unseen[column] >= low) & (unseen[column] <= high))
            by_age = pd.concat(held).groupby(pd.cut(e.age, [0, 10, 30, 60])).mean()
            print(
                f"  {way:10}{plane:6}" + "  ".join(f"{a:+.2f}/{b:+.2f}" for a, b in zip(*lines(some(e), column)))
                + f"  {pd.concat(held).mean():.0%} (" + " ".join(f"{x.mean():.0%}" for x in held)
                + "; to 10, 30, 60 min " + " ".join(f"{x:.0%}" for x in by_age) + ")"
            )  # fmt: skip


def show_sky_factor(cs):
    """The sky's own factor: its light over the model's at the turbidity that
    the beam shows."""
    print("\nClear: the sky's own factor, stops: median (10 %, 90 %); correlation with that 5, 30 and 60 min before")
    parts = []
    for c in cs.values():
        now, later, age = pairs(c.q, (5, 30, 60))
        depth = c.m.depth(model.air_mass(c.h) * fit.SITE.pressure())
        turbidity = np.log(model.SOLAR * c.far / c.q.beam.clip(lower=1).values) / depth
        factor = np.log2(c.q.sky.values / c.m.cloudless(c.h, turbidity, c.far, fit.SITE)[1])
        parts.append(pd.DataFrame({"h": c.h[later], "age": age, "then": factor[now], "now": factor[later]}))
    e = pd.concat(parts)
    for low, high in SUNS[:4]:
        part = e[(e.h >= low) & (e.h < high)]
        q = part[part.age == 5].now.quantile([0.1, 0.5, 0.9]).values
        r = [np.corrcoef(x.then, x.now)[0, 1] for _, x in part.groupby("age")]
        print(f"  {low:2}-{high:<3}{q[1]:+.2f} ({q[0]:+.2f}, {q[2]:+.2f})  " + " ".join(f"{x:.2f}" for x in r))


# Cloud ----------------------------------------------------------------------------


def cloud_pairs(d, m, word, random):
    """Errors of the planes at a reading by a meter of METER, and later under
    the same word."""
    q = fit.minutes_of(d, word)
    q = q[q.h >= 3].reset_index(drop=True)
    e = fit.errors(q, m, word)
    now, later, age = pairs(q, AGES)
    meter = random.normal(0, METER, len(q))
    out = {"h": q.h.values[later], "age": age, "year": q.year.values[later]}
    for p in PLANES:
        out[p] = e[p].values[later]
        out[p + " then"] = (e[p].values + meter)[now]
    return pd.DataFrame(out)


def fitted_fading(e):
    """A and tau, min, of w = A exp(-age / tau): the least absolute error of lit,
    each age alike."""
    groups = [(age, g["lit then"].values, g.lit.values) for age, g in e.groupby("age")]

    def cost(p):
        miss = lambda age, then, now: np.abs(now - p[0] * np.exp(-age / (100 * np.exp(p[1]))) * then).mean()
        return np.mean([miss(*g) for g in groups])

    best = minimize(cost, [0.6, 0.5], method="Nelder-Mead", options=dict(xatol=1e-3, fatol=1e-6)).x
    return best[0], 100 * np.exp(best[1])


def faded(p, age):
    return p[0] * np.exp(-age / p[1])


def cloud_unseen(d, fits, word, random):
    """Errors of each year under what was fitted on the two others, what a faded
    reading leaves of them, and whether the band held that; with the fadings."""
    unseen, fadings = [], []
    for year in YEARS:
        m, e = fits[year], cloud_pairs(d, fits[year], word, random)
        p = fitted_fading(e[e.year != year])
        other = e[e.year == year].copy()
        w = faded(p, other.age.values)
        whole = fit.errors(fit.minutes_of(d[d.year != year], word), m, word)
        for plane in PLANES:
            low, high = (np.interp(other.h, fit.NODES, line) for line in fit.band(whole, plane))
            left, narrower = other[plane] - w * other[plane + " then"], np.sqrt(1 - w**2)
            other[plane + " left"] = left
            other[plane + " held"] = (left >= low * narrower) & (left <= high * narrower)
        unseen.append(other)
        fadings.append(p)
    return pd.concat(unseen), fadings


def show_cloud(d, fits, random):
    print(f"\nCloud: the error of a reading by a meter of {METER} times w = A exp(-age / tau), band times sqrt(1 - w^2)")
    print("age: w; lit, median/90 % of |error|: none, kept, faded; 9/91 % left; held lit, shade, level (lit by year)")
    for word in CLOUDY:
        e, fadings = cloud_unseen(d, fits, word, random)
        p = fitted_fading(cloud_pairs(d, model.Model(), word, random))
        apart = ", ".join(f"{a:.2f}/{t:.0f}" for a, t in fadings)
        print(f"{word}: A, tau (min) of all years {p[0]:.2f}/{p[1]:.0f}; without 2015, 2016, 2017 {apart}")
        for age in SHOWN:
            g = e[e.age == age]
            ways = g.lit, g.lit - g["lit then"], g["lit left"]
            cells = "  ".join(f"{np.median(np.abs(x)):.2f}/{ninety(x):.2f}" for x in ways)
            low, high = g["lit left"].quantile([0.09, 0.91])
            held = " ".join(f"{g[plane + ' held'].mean():.0%}" for plane in PLANES)
            years = " ".join(f"{x:.0%}" for x in g.groupby("year")["lit held"].mean())
            print(f"  {age:3}: {faded(p, age):.2f}  {cells}  {low:+.2f}/{high:+.2f}  {held} ({years})")


def main(folder):
    d = fit.classify(fit.read(folder))
    fits = {year: fit.fit(d[d.year != year]) for year in YEARS}
    random = np.random.default_rng(20260102)
    clear = fit.minutes_of(d, "clear")
    cs = {year: Clear(clear[clear.year == year], fits[year]) for year in YEARS}
    e = pd.concat([clear_errors(c, random) for c in cs.values()], ignore_index=True)
    show_clear(e)
    show_clear_bands(e)
    show_sky_factor(cs)
    show_cloud(d, fits, random)


if __name__ == "__main__":
    main(sys.argv[1])
