"""The daylight model in its written forms, apart from the Go program.

Angles are in degrees, light in lx, altitudes h apparent unless said. The
figures in Model are the ones the program ships; fit.py finds them.
"""

from dataclasses import dataclass, field

import numpy as np

WORDS = ("clear", "hazy", "thin", "broken sun", "broken cloud", "overcast", "heavy")
SUNNY = ("clear", "hazy", "thin", "broken sun")

SOLAR = 133800.0  # luminous solar constant, Darula & Kittler 2002
HORIZON = 537.562  # clear twilight at true -0.57 deg, see twilight
DISC = 0.2667  # half the sun's diameter

# Type of ISO 15469:2004 (CIE S 011/E:2003), table 1: gradation a, b and
# indicatrix c, d, e; and which word has which.
ISO = {
    1: (4, -0.70, 0, -1.0, 0),
    8: (0, -1.00, 10, -3.0, 0.45),
    12: (-1, -0.32, 10, -3.0, 0.45),
    13: (-1, -0.32, 16, -3.0, 0.30),
}
SKY_TYPE = {"clear": 12, "hazy": 13, "thin": 8, "broken sun": 8, "broken cloud": 8, "overcast": 1, "heavy": 1}


def sin(degrees):
    return np.sin(np.radians(degrees))


def cos(degrees):
    return np.cos(np.radians(degrees))


def air_mass(h):
    """Kasten & Young 1989."""
    return 1 / (sin(h) + 0.50572 * (h + 6.07995) ** -1.6364)


def disc(h):
    """Share of the sun's disc above a level horizon."""
    x = np.clip(h / DISC, -1, 1)
    return 0.5 + (x * np.sqrt(1 - x * x) + np.arcsin(x)) / np.pi


def rounded_sine(h, least):
    return (np.maximum(sin(h), 0) ** 1.5 + least**1.5) ** (2 / 3)


@dataclass
class Cloud:
    """sky = share * mu^power * SOLAR; stops below a clear sky at the horizon;
    what the beam loses, and more for each air mass; None where it is gone."""

    share: float
    power: float
    horizon: float = 0.0
    beam: float | None = None
    beam_by_mass: float = 0.0

    def least(self):
        return (HORIZON * 2**self.horizon / (self.share * SOLAR)) ** (1 / self.power)


def shipped_clouds():
    return {
        "thin": Cloud(0.375, 1.008, 0, -0.91, -0.051),
        "broken sun": Cloud(0.326, 0.948, 0, -0.19),
        "broken cloud": Cloud(0.355, 1.137, -0.6),
        "overcast": Cloud(0.217, 1.200, -1.3),
    }


@dataclass
class Site:
    """Where the air begins, m above the sea."""

    elevation: float = 0.0

    def pressure(self):
        """Of the standard atmosphere, relative to the sea's."""
        return (1 - 0.0065 * max(0, self.elevation) / 288.15) ** 5.25588


SEA = Site()


@dataclass
class Model:
    mass_term: float = 0.225
    turbidity: float = 2.60  # at sea level
    season: float = 0.20
    hazy: float = 3.78
    clean: float = 1.3  # turbidity of air without haze
    haze_scale: float = 4200.0  # m, in which haze falls to 1/e
    share: float = 0.48
    power: float = 1.12
    bend: float = 0.26
    root: float = 0.5
    swallows: float = 0.133
    heavy: float = -1.25
    clouds: dict = field(default_factory=shipped_clouds)

    def depth(self, mass):
        return mass / (9.9 + self.mass_term * mass)

    def at(self, site, turbidity):
        """The turbidity over a site that has so much at sea level."""
        return self.clean + (turbidity - self.clean) * np.exp(-site.elevation / self.haze_scale)

    def sea(self, site, turbidity):
        """The turbidity at sea level that at makes this one over the site."""
        return self.clean + (turbidity - self.clean) * np.exp(site.elevation / self.haze_scale)

    def seasonal(self, season, site=SEA, weight=1.0):
        """Turbidity of the season, the sine of the sun's ecliptic longitude;
        weight is all of it beyond 35 deg north."""
        return self.at(site, self.turbidity + self.season * weight * season)

    def least(self):
        outside = self.share * SOLAR * (1 - np.exp(-2.5 * self.depth(air_mass(0))))
        return (HORIZON / outside) ** (1 / self.power)

    def cloudless(self, h, turbidity, distance_factor=1.0, site=SEA):
        """Beam and sky. The pressure of the site dims the beam only."""
        beam_depth = self.depth(site.pressure() * air_mass(np.maximum(h, -DISC)))
        beam = SOLAR * distance_factor * disc(h) * np.exp(-beam_depth * turbidity)
        depth = self.depth(air_mass(np.maximum(h, 0)))
        mu = rounded_sine(h, self.least())
        sky = (
            self.share * SOLAR * distance_factor * mu**self.power * np.exp(-self.bend * mu**2)
            * (1 - np.exp(-depth * turbidity)) * (turbidity / 2.5) ** self.root
            * np.exp(-self.swallows * depth * (turbidity - 2.5))
        )  # fmt: skip
        return beam, sky

    def light(self, word, h, turbidity, distance_factor=1.0, site=SEA):
        """Beam and sky of a word; turbidity is the season's over the site."""
        h = np.asarray(h, float)
        if word == "hazy":
            return self.cloudless(h, self.at(site, self.hazy), distance_factor, site)
        beam, sky = self.cloudless(h, turbidity, distance_factor, site)
        if word == "clear":
            return beam, sky
        cloud = self.clouds["overcast" if word == "heavy" else word]
        sky = SOLAR * distance_factor * cloud.share * rounded_sine(h, cloud.least()) ** cloud.power
        if word == "heavy":
            sky = sky * 2**self.heavy
        if cloud.beam is None:
            return 0 * beam, sky
        return beam * 2 ** (cloud.beam + cloud.beam_by_mass * air_mass(np.maximum(h, 0))), sky

    def oktas(self, n, h, turbidity):
        """Kasten & Czeplak 1980 between the clear and the overcast sky."""
        beam, sky = self.light("clear", h, turbidity)
        s = np.maximum(sin(h), 0)
        whole = beam * s + sky
        level = whole - (whole - self.light("overcast", h, turbidity)[1]) * (n / 8) ** 3.4
        beam = beam * level / whole * (1 - (n / 8) ** 2)
        return beam, level - beam * s


# Explanatory Supplement to the Astronomical Almanac, 3rd ed. 2013, table 12.8:
# log10 lx = l0 + l1 x + l2 x^2 + l3 x^3 with x the true altitude over 90 deg,
# from each altitude up to the one before. The printed l0 are 2.88, 2.88, 2.70
# and 13.84.
TWILIGHT = (
    (-0.8, 2.88, 22.26, -207.64, 1034.3),
    (-5, 2.88, 21.81, -258.11, -858.36),
    (-12, 2.70, 12.17, -431.69, -1899.83),
    (-18, 13.84, 262.72, 1447.42, 2797.93),
)


def twilight(true_h):
    """Light on the level under a clear sky, the pieces moved so that they join."""

    def logarithm(piece, degrees):
        x = degrees / 90
        return piece[1] + x * (piece[2] + x * (piece[3] + x * piece[4]))

    moved = 0.0
    for above, piece in zip((None,) + TWILIGHT, TWILIGHT):
        if above:
            moved += logarithm(above, above[0]) - logarithm(piece, above[0])
        if true_h >= piece[0]:
            return 10 ** (logarithm(piece, true_h) + moved)
    raise ValueError(true_h)


def dusk_share(true_h, h):
    """Share of the sky's light at h = 0 that is left below the horizon."""
    near = np.clip(1 + h / 1.5, 0, 1)
    return twilight(true_h + near * ((h - true_h) - 0.57)) / HORIZON


_NODES = np.arange(0, 91, 2.0)


def _plane_ratios(kind):
    """Light on vertical planes toward, across and away from the sun over that
    on the level, by the midpoint rule, at _NODES of the sun's altitude."""
    a, b, c, d, e = ISO[kind]
    middles = np.arange(180) + 0.5
    zenith, azimuth = np.meshgrid(middles[:90] * np.pi / 180, middles * np.pi / 90, indexing="ij")
    table = []
    for h in _NODES:
        towards = np.clip(sin(h) * np.cos(zenith) + cos(h) * np.sin(zenith) * np.cos(azimuth), -1, 1)
        angle = np.arccos(towards)
        luminance = (1 + a * np.exp(b / np.cos(zenith))) * (
            1 + c * (np.exp(d * angle) - np.exp(d * np.pi / 2)) + e * towards**2
        )
        weight = luminance * np.sin(zenith)
        level = (weight * np.cos(zenith)).sum()
        upright = [np.maximum(np.cos(azimuth - way), 0) for way in (0, np.pi / 2, np.pi)]
        table.append([(weight * np.sin(zenith) * facing).sum() / level for facing in upright])
    return np.array(table)


_RATIOS = {kind: _plane_ratios(kind) for kind in ISO}


def planes(word, h, beam, sky, ground=0.2):
    """Light on level, lit and shade, the shade plane facing across the sun."""
    toward, across, _ = (np.interp(h, _NODES, column) for column in _RATIOS[SKY_TYPE[word]].T)
    level = beam * np.maximum(sin(h), 0) + sky
    thrown = ground * level / 2
    return {"level": level, "lit": beam * cos(h) + toward * sky + thrown, "shade": across * sky + thrown}
