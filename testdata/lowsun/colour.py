"""Colour of light by CIE 1931, and what the air and the sun are at other wavelengths than 550 nm.

    python3 colour.py                   checks of the colorimetry (a second)
    python3 colour.py law colour.csv    a law for upright planes, fitted to the table

Needs Python 3 and numpy. `sky.py colour` works out the sky's.
"""

import csv
import sys

import numpy as np

NM = np.arange(380.0, 731.0, 1.0)  # wavelengths that spectra are summed over, nm

C2 = 1.438777e7  # second radiation constant, nm K (CODATA)

# The sun's spectrum outside the air, W/m2/um, every 10 nm from 380: about the values of Neckel and Labs 1981 that
# SPECTRL2 and, smoothed, ASTM E490 have; from memory. Only the shape counts.
SUN_NM = np.arange(380.0, 731.0, 10.0)
SUN = np.array(
    [1120, 1098, 1479, 1701, 1740, 1587, 1837, 2005, 2043, 1987, 2027, 1896, 1909, 1927, 1831, 1891, 1898, 1892]
    + [1860, 1840, 1810, 1775, 1750, 1728, 1695, 1658, 1610, 1545, 1528, 1510, 1465, 1420, 1410, 1399, 1365, 1335],
    dtype=float,
)

# Absorption cross-section of ozone (Chappuis band) at stratospheric temperature, 1e-21 cm2, every 10 nm from 400; from
# memory. Only the ratio to 550 nm counts.
OZONE_NM = np.arange(400.0, 731.0, 10.0)
OZONE = np.array(
    [0.01, 0.03, 0.04, 0.07, 0.13, 0.17, 0.34, 0.40, 0.69, 0.79, 1.20, 1.57, 1.84, 2.72, 3.00, 3.33, 3.90]
    + [4.60, 4.60, 4.55, 5.10, 4.70, 4.00, 3.50, 2.95, 2.50, 2.10, 1.70, 1.35, 1.10, 0.87, 0.72, 0.58, 0.46],
    dtype=float,
)


def lobe(nm, peak, below, above):
    """A Gaussian with one width below its peak and another above it."""
    width = np.where(nm < peak, below, above)
    return np.exp(-(((nm - peak) / width) ** 2) / 2)


def matching(nm):
    """CIE 1931 2-degree colour matching functions: array [3, nm].

    Wyman, Sloan and Shirley 2013, Journal of Computer Graphics Techniques 2(2), the fit of several lobes; from memory.
    """
    x = (1.056 * lobe(nm, 599.8, 37.9, 31.0) + 0.362 * lobe(nm, 442.0, 16.0, 26.7)
         - 0.065 * lobe(nm, 501.1, 20.4, 26.2))
    y = 0.821 * lobe(nm, 568.8, 46.9, 40.5) + 0.286 * lobe(nm, 530.9, 16.3, 31.1)
    z = 1.217 * lobe(nm, 437.0, 11.8, 36.0) + 0.681 * lobe(nm, 459.0, 26.0, 13.8)
    return np.array([x, y, z])


def chromaticity(spectrum):
    """CIE 1931 x and y of spectra at NM: array [..., 2]."""
    xyz = spectrum @ matching(NM).T
    return xyz[..., :2] / xyz.sum(-1, keepdims=True)


def uv(xy):
    """CIE 1960 u and v from x and y."""
    x, y = xy[..., 0], xy[..., 1]
    below = -2 * x + 12 * y + 3
    return np.stack([4 * x / below, 6 * y / below], axis=-1)


def black_body(mired):
    """Relative spectrum of a black body at NM. At 0 mired it goes as wavelength^-4."""
    a = np.maximum(C2 * np.asarray(mired, dtype=float)[..., None] * 1e-6 / NM, 1e-9)
    return (NM / 550) ** -4 * a / np.expm1(a)


class Locus:
    """The Planckian locus from 0 to 1000 mired in CIE 1960 u, v."""

    def __init__(self):
        self.mired = np.arange(0.0, 1001.0, 1.0)
        self.at = uv(chromaticity(black_body(self.mired)))

    def nearest(self, xy):
        """Correlated colour temperature in mired, 0 at least, and signed distance from the locus (positive: greenish).

        It is the nearest point of the locus in u, v: a search along it in steps of a mired, straight between them.
        """
        p = uv(np.asarray(xy, dtype=float))
        start, step = self.at[:-1], np.diff(self.at, axis=0)
        t = ((p - start) * step).sum(-1) / (step * step).sum(-1)
        t = np.clip(t, 0, 1)
        away = p - start - t[:, None] * step
        k = np.argmin((away * away).sum(-1))
        side = step[k, 0] * away[k, 1] - step[k, 1] * away[k, 0]
        return self.mired[k] + t[k], np.sign(side) * np.hypot(*away[k])


def along(nodes, light):
    """Light known at the nodes (nm, last axis) at NM: straight in its logarithm, beyond the ends too."""
    log = np.log(light)
    low = log[..., :1] + (log[..., 1:2] - log[..., :1]) * (NM[0] - nodes[0]) / (nodes[1] - nodes[0])
    high = log[..., -1:] + (log[..., -1:] - log[..., -2:-1]) * (NM[-1] - nodes[-1]) / (nodes[-1] - nodes[-2])
    log = np.concatenate([low, log, high], axis=-1)
    at = np.concatenate([NM[:1], nodes, NM[-1:]])
    i = np.clip(np.searchsorted(at, NM, side="right") - 1, 0, len(at) - 2)
    w = (NM - at[i]) / (at[i + 1] - at[i])
    return np.exp(log[..., i] * (1 - w) + log[..., i + 1] * w)


def sun():
    """The sun's spectrum outside the air at NM."""
    return np.interp(NM, SUN_NM, SUN)


def ozone(nm):
    """Absorption of ozone over that at 550 nm."""
    return np.interp(nm, OZONE_NM, OZONE) / np.interp(550, OZONE_NM, OZONE)


LOCUS = Locus()


def seen(nodes, light):
    """Mired, distance from the locus, x and y of sunlight changed by so much at the nodes."""
    xy = chromaticity(along(nodes, light) * sun())
    return *LOCUS.nearest(xy), *xy


def check():
    """Prints the checks of the colorimetry."""
    for name, spectrum, want in [
        ("equal energy", np.ones_like(NM), "0.3333 0.3333"),
        ("black body 6500 K", black_body(1e6 / 6500), "0.3135 0.3237 153.8"),
        ("black body 2856 K (illuminant A)", black_body(1e6 / 2856), "0.4476 0.4074 350.1"),
        ("black body without limit", black_body(0.0), "0.2399 0.2341 0"),
        ("sun outside the air", sun(), "about 0.324 0.333 169 (5900 K)"),
    ]:
        xy = chromaticity(spectrum)
        mired, duv = LOCUS.nearest(xy)
        print(f"{name}: x {xy[0]:.4f} y {xy[1]:.4f}, {mired:.1f} mired, duv {duv:+.4f}; wanted {want}")
    mired, duv = LOCUS.nearest(np.array([0.31272, 0.32903]))
    print(f"x 0.3127 y 0.3290 (D65): {mired:.1f} mired, duv {duv:+.4f}; wanted 153.7 (6504 K), +0.0032")


KNOTS = [-4, -2, 0, 2, 4, 10]  # suns, degrees
PLANES = [0, 45, 90, 135, 180]


def law(name):
    """Prints mired of a plane less mired of the level as base + turn cos A + bow cos^2 A, straight between the knots.

    Figures at the end of the locus are left out. Suns below the last knot too.
    """
    with open(name) as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    for depth in sorted({row["aod550"] for row in rows}):
        for terms in (["turn"], ["base", "turn"], ["base", "turn", "bow"]):
            fit(depth, terms, [row for row in rows if row["aod550"] == depth])


def fit(depth, terms, rows):
    """Prints the law with the terms named, and by how much it is off."""
    left, right = [], []
    for row in rows:
        sun = float(row["sun_deg"])
        weights = np.array([np.interp(sun, KNOTS, unit) for unit in np.eye(len(KNOTS))])
        for plane in PLANES:
            if sun >= KNOTS[0] and float(row[f"v{plane}"]) > 0:
                powers = np.cos(np.radians(plane)) ** np.array([{"base": 0, "turn": 1, "bow": 2}[t] for t in terms])
                left.append(np.outer(powers, weights).ravel())
                right.append(float(row[f"v{plane}"]) - float(row["level"]))
    numbers = np.linalg.lstsq(np.array(left), np.array(right), rcond=None)[0]
    off = np.array(left) @ numbers - right
    print(f"aerosol {depth}: root mean square {np.sqrt((off**2).mean()):.1f} mired, worst {abs(off).max():.1f}")
    for term, values in zip(terms, numbers.reshape(len(terms), -1)):
        print(f"    {term}  " + "  ".join(f"{k}: {v:.0f}" for k, v in zip(KNOTS, values)))


def main(args):
    match args:
        case []:
            check()
        case ["law", name]:
            law(name)
        case _:
            sys.exit(__doc__.split("Needs")[0])


if __name__ == "__main__":
    main(sys.argv[1:])
