#!/usr/bin/env python3
"""Shape of a clear sky at low sun and in twilight, by successive orders of
scattering in a spherical atmosphere. Nothing here is random: the figures carry
the error of their grids, which `finer` measures, and no noise.

    python3 sky.py > sky.csv              the table (6 minutes on one core, 2 GB)
    python3 sky.py quick > quick.csv      the same on a coarse grid (20 seconds)
    python3 sky.py check                  checks of the method (1 minute)
    python3 sky.py finer                  error of the grid (15 minutes, 5 GB)
    python3 sky.py vary                   how much the shape hangs on the air
    python3 sky.py colour > colour.csv    colour of the light (5 minutes)
    python3 sky.py colour check           its errors, and the beam and the level
                                          beside SPECTRL2 (10 minutes)
    python3 sky.py colour vary            how much it hangs on the air (10 minutes)
    python3 sky.py compare A.csv B.csv    A less B in stops, for tables with
                                          these columns

Needs Python 3 and numpy.

Method
------
The sun's rays are parallel, so the light in a spherical atmosphere depends on
the height h, the angle chi between the zenith and the sun, and the direction of
view (mu, the cosine of its zenith angle, and phi, its azimuth from the sun).

1. The optical depth from (h, chi) to the sun is integrated along the straight
   ray and tabled; the earth's shadow is exact (chi past its edge: no sun).
2. Single scattering is integrated along each line of sight.
3. Light of the first order, and reflected by the ground, is integrated over all
   directions at each point of a grid in h and chi, as moments in spherical
   harmonics (l <= L, m <= M). A phase function acts on such moments by one
   factor for each degree l: 1 and 1/10 for Rayleigh (l = 0, 2), g^l for Henyey
   and Greenstein. The moments are therefore the source of the next order, and
   so on. A Lambertian ground sends back albedo/pi times the light on it.
4. The sky seen from the ground is the single scattering (exact phase function)
   plus the integral of the summed source along the line of sight.

Between grid points the mean radiance is interpolated in its logarithm and the
moments in their ratio to it: twilight falls by a factor of three each degree.

Polarisation is left out, as is refraction (but see `vary`).

Air
---
The same air as the calculation the table is set against, so that the two differ
by method alone:

    wavelength      550 nm, standing for luminance (peak of V(lambda): 555 nm)
    Rayleigh        optical depth 0.0973, scale height 8 km. Bodhaine, Wood,
                    Dutton and Slusser 1999 and Bucholtz 1995 give 0.097 at
                    550 nm at sea level (from memory). Phase function
                    3/(16 pi) (1 + cos^2), without depolarisation.
    aerosol         optical depth 0.05, 0.10 (main), 0.25; scale height 1.5 km;
                    single-scattering albedo 0.93; Henyey and Greenstein 1941
                    with g = 0.70: continental values (from memory)
    ozone           optical depth 0.03 at 550 nm (Chappuis band, about 340
                    Dobson units; from memory), Gaussian layer at 22 km with a
                    standard deviation of 5 km (a choice)
    ground          albedo 0.2, Lambertian
    earth           radius 6371 km, air up to 80 km
"""

import dataclasses
import sys

import numpy as np

import colour

SUNS = [10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3, -4, -5, -6, -7, -8]
DEPTHS = [0.10, 0.05, 0.25]
ALTITUDES = [2, 5, 10, 20, 40, 70, 90]
AZIMUTHS = [0, 15, 30, 45, 60, 90, 120, 150, 180]
PLANES = [0, 45, 90, 135, 180]


@dataclasses.dataclass(frozen=True)
class Air:
    """Air and earth. Lengths in km, optical depths at 550 nm from the ground up."""

    aerosol: float = 0.10
    aerosol_scale: float = 1.5
    aerosol_albedo: float = 0.93
    g: float = 0.70
    rayleigh: float = 0.0973
    rayleigh_scale: float = 8.0
    ozone: float = 0.03
    ozone_height: float = 22.0
    ozone_width: float = 5.0
    ground: float = 0.2
    radius: float = 6371.0
    top: float = 80.0
    refraction: float = 0.0  # refractive index of the air at the ground, less 1

    def coefficients(self, h):
        """Rayleigh scattering, aerosol scattering and total extinction at height h, per km."""
        h = np.maximum(h, -2.0)  # rays below the ground only feed the table, near the shadow's edge
        ray = self.rayleigh / self.rayleigh_scale * np.exp(-h / self.rayleigh_scale)
        aer = self.aerosol / self.aerosol_scale * np.exp(-h / self.aerosol_scale)
        z = (h - self.ozone_height) / self.ozone_width
        ozone = self.ozone / (self.ozone_width * np.sqrt(2 * np.pi)) * np.exp(-z * z / 2)
        return ray, aer * self.aerosol_albedo, ray + aer + ozone

    def at(self, nm, ozone, angstrom=1.3):
        """The same air at another wavelength, where ozone absorbs so many times what it does at 550 nm.

        Rayleigh depth goes as wavelength^-4.08, aerosol depth with Angstrom's exponent (1.3: a common value, from
        memory).
        """
        x = 550 / nm
        return dataclasses.replace(
            self, rayleigh=self.rayleigh * x**4.08, aerosol=self.aerosol * x**angstrom, ozone=self.ozone * ozone
        )

    def phase(self, cosine):
        """Rayleigh and aerosol phase functions, 1/sr, at the cosine of the scattering angle."""
        ray = 3 / (16 * np.pi) * (1 + cosine**2)
        g = self.g
        aer = (1 - g * g) / (4 * np.pi * (1 + g * g - 2 * g * cosine) ** 1.5)
        return ray, aer


@dataclasses.dataclass(frozen=True)
class Grid:
    """Fineness of the calculation."""

    heights: float = 1  # 1: HEIGHTS; 0.5: every second of them; 2: also those halfway
    chi_step: float = 0.5  # degrees, between 80 and 112
    mu: int = 14  # nodes between horizon and zenith
    phi: int = 16  # nodes over half a turn
    steps: int = 40  # nodes along a ray (each side of its lowest point)
    degree: int = 14  # L
    azimuthal: int = 9  # M
    orders: int = 12


FINE = Grid()
FINER = Grid(heights=2, mu=18, phi=20, degree=20, azimuthal=12)
QUICK = Grid(heights=0.5, chi_step=1.0, mu=8, phi=10, steps=20, degree=8, azimuthal=6, orders=7)

HEIGHTS = np.array(
    [0, 0.125, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22.5, 25, 27.5, 30, 33]
    + [36, 40, 45, 50, 55, 60, 65, 72, 80],
    dtype=float,
)


def heights(fineness):
    """Heights of the grid, km."""
    if fineness < 1:
        return np.unique(np.append(HEIGHTS[::2], HEIGHTS[-1]))
    if fineness > 1:
        return np.sort(np.append(HEIGHTS, (HEIGHTS[1:] + HEIGHTS[:-1]) / 2))
    return HEIGHTS


def gauss(n, a=-1.0, b=1.0):
    """Gauss-Legendre nodes and weights on [a, b]."""
    x, w = np.polynomial.legendre.leggauss(n)
    return (a + b) / 2 + (b - a) / 2 * x, (b - a) / 2 * w


def stretched(length, scale, n):
    """Nodes and weights on [0, length], dense within scale of 0."""
    t, w = gauss(n, 0.0, 1.0)
    k = np.arcsinh(length / scale)
    k = k[..., None] if np.ndim(k) else k
    scale = scale[..., None] if np.ndim(scale) else scale
    return scale * np.sinh(k * t), scale * k * np.cosh(k * t) * w


class SunTable:
    """Optical depth from height h to the sun at zenith angle chi, and the edge of the earth's shadow."""

    def __init__(self, air):
        self.air = air
        self.h = np.concatenate([np.linspace(0, 20, 101), np.linspace(20.5, air.top, 120)])
        self.chi = np.concatenate([np.linspace(0, 74, 75), np.linspace(75, 115, 801), np.linspace(116, 180, 65)])
        r = air.radius + self.h
        self.edge = np.degrees(np.pi - np.arcsin(air.radius / r))  # last chi in the sun
        h, chi = np.meshgrid(self.h, np.radians(self.chi), indexing="ij")
        tau = self.straight(h, chi)
        if air.refraction:
            tau = self.refracted(h, chi, tau)
        self.log = np.log(np.maximum(tau, 1e-12))

    def straight(self, h, chi):
        """Optical depth to the sun along a straight ray."""
        return self.integral(h, chi, lambda height, b: self.air.coefficients(height)[2])

    def bend(self, h, chi):
        """Angle by which a ray that leaves at chi bends on its way out, radians, to first order."""
        air = self.air

        def per_km(height, b):
            height = np.maximum(height, -2.0)
            slope = air.refraction / air.rayleigh_scale * np.exp(-height / air.rayleigh_scale)
            return slope * b / (air.radius + height)

        return self.integral(h, chi, per_km)

    def integral(self, h, chi, per_km):
        """Integral of per_km(height, lowest distance from the centre) along straight rays from h at chi to the top."""
        air = self.air
        b, x0 = (air.radius + h) * np.sin(chi), (air.radius + h) * np.cos(chi)
        end = np.sqrt(np.maximum((air.radius + air.top) ** 2 - b**2, 0))

        def leg(b, start, end):
            x, w = stretched(np.maximum(end - start, 1e-9), rise_length(np.hypot(b, start), start), 48)
            x = x + start[:, None]
            return (per_km(np.hypot(b[:, None], x) - air.radius, b[:, None]) * w).sum(-1)

        out = np.zeros_like(h)
        up, down = x0 >= 0, x0 < 0
        out[up] = leg(b[up], x0[up], end[up])
        zero = np.zeros_like(b[down])
        out[down] = leg(b[down], zero, -x0[down]) + leg(b[down], zero, end[down])
        return out

    def refracted(self, h, chi, tau):
        """Optical depth by true zenith angle where rays bend, with the spreading of the beam; moves the shadow's edge.

        A ray that leaves at the apparent angle a points to the sun at a + bend(a). The beam gives the light of the
        flattened image: da/dchi of the light without refraction.
        """
        air = self.air
        bend = self.bend(h, chi)
        out = np.empty_like(tau)
        for i in range(len(self.h)):
            true = chi[i] + bend[i]
            spread = np.log(np.maximum(np.gradient(true, chi[i]), 1e-3))
            n = 1 + air.refraction * np.exp(-self.h[i] / air.rayleigh_scale)
            grazing = air.radius * (1 + air.refraction) / (n * (air.radius + self.h[i]))  # Bouguer
            self.edge[i] = np.degrees(np.interp(np.pi - np.arcsin(min(grazing, 1.0)), chi[i], true))
            keep = np.concatenate([[True], np.diff(true) > 0])
            out[i] = np.interp(chi[i], true[keep], (tau[i] + spread)[keep])
        return out

    def at_heights(self, h):
        """Rows of the table, and the shadow's edge, at the heights h."""
        i = np.clip(np.searchsorted(self.h, h) - 1, 0, len(self.h) - 2)
        w = np.clip((h - self.h[i]) / (self.h[i + 1] - self.h[i]), 0, 1)
        rows = self.log[i] * (1 - w)[:, None] + self.log[i + 1] * w[:, None]
        if self.air.refraction:
            edge = self.edge[i] * (1 - w) + self.edge[i + 1] * w
        else:
            edge = 180 - np.degrees(np.arcsin(self.air.radius / (self.air.radius + np.maximum(h, 0))))
        return rows, edge

    def transmission(self, rows, edge, row, chi):
        """Transmission to the sun from rows[row] (arrays of the same shape) at chi, degrees."""
        x = np.where(chi < 75, chi, np.where(chi < 115, 75 + (chi - 75) * 20, 875 + chi - 115))
        i = np.clip(x.astype(int), 0, len(self.chi) - 2)
        w = x - i
        tau = np.exp(rows[row, i] * (1 - w) + rows[row, i + 1] * w)
        return np.where(chi <= edge[row], np.exp(-tau), 0.0)


def rise_length(r, x0, rise=1.0):
    """Way along a ray on which it rises by rise, from distance r from the centre, x0 past its lowest point."""
    gain = 2 * r * rise + rise * rise
    return gain / (np.sqrt(x0 * x0 + gain) + x0)


class Ray:
    """A line of sight from height h at cosine mu from the zenith: nodes and what they give the eye."""

    def __init__(self, air, h, mu, steps):
        r = air.radius + h
        b2 = r * r * (1 - mu * mu)
        self.mu = mu
        self.ground = mu < 0 and b2 < air.radius**2
        x0 = r * mu
        if self.ground:  # nodes dense near the ground
            x1 = -np.sqrt(air.radius**2 - b2)
            x, w = stretched(max(x1 - x0, 1e-9), rise_length(air.radius, -x1), steps)
            x, w = (x1 - x)[::-1], w[::-1]
        else:
            end = np.sqrt(max((air.radius + air.top) ** 2 - b2, 0))
            start = max(x0, 0.0)
            x, w = stretched(max(end - start, 1e-9), rise_length(np.sqrt(b2 + start**2), start), steps)
            x = x + start
            if x0 < 0:
                y, v = stretched(-x0, rise_length(np.sqrt(b2), 0.0), steps)
                x, w = np.concatenate([-y[::-1], x]), np.concatenate([v[::-1], w])
            x1 = end
        self.s = x - x0
        self.length = x1 - x0
        rr = np.sqrt(b2 + x * x)
        self.r = rr
        self.h = np.clip(rr - air.radius, 0, air.top)
        self.node_mu = x / rr
        ray, aer, _ = air.coefficients(self.h)
        tau = self.depth(air, b2, x0, np.append(self.s, self.length))
        seen = w * np.exp(-tau[:-1])
        self.ray, self.aer = ray * seen, aer * seen
        self.through = np.exp(-tau[-1])

    @staticmethod
    def depth(air, b2, x0, s):
        """Optical depth from the eye to each s."""
        t, w = gauss(6, 0.0, 1.0)
        a = np.concatenate([[0.0], s[:-1]])
        step = s - a
        x = x0 + a[:, None] + step[:, None] * t
        ext = air.coefficients(np.sqrt(b2 + x * x) - air.radius)[2]
        return np.cumsum((ext * w).sum(-1) * step)


class Geometry:
    """Where the sun stands along a ray, for suns at chi (radians) and azimuths phi: arrays [chi, phi, node]."""

    def __init__(self, air, h, ray, chi, phi):
        sin_t = np.sqrt(max(1 - ray.mu**2, 0))
        self.cosine = ray.mu * np.cos(chi)[:, None] + sin_t * np.sin(chi)[:, None] * np.cos(phi)  # of scattering
        r = air.radius + h
        z = (r * np.cos(chi)[:, None, None] + self.cosine[..., None] * ray.s) / ray.r
        z = np.clip(z, -1, 1)
        self.chi = np.degrees(np.arccos(z))
        sines = np.sqrt(np.maximum((1 - z * z) * (1 - ray.node_mu**2), 1e-16))
        self.cos_phi = np.clip((self.cosine[..., None] - ray.node_mu * z) / sines, -1, 1)
        if ray.ground:
            z = (r * np.cos(chi)[:, None] + self.cosine * ray.length) / air.radius
            self.ground_chi = np.degrees(np.arccos(np.clip(z, -1, 1)))


class Harmonics:
    """Orthonormal real spherical harmonics even in azimuth, up to degree L and azimuthal number M."""

    def __init__(self, degree, azimuthal):
        self.l, self.m = np.array(
            [(l, m) for m in range(azimuthal + 1) for l in range(m, degree + 1)]
        ).T
        self.azimuthal = azimuthal
        self.degree = degree

    def polar(self, mu):
        """Normalised associated Legendre functions at mu: array [mu, harmonic]."""
        mu = np.atleast_1d(mu)
        sin = np.sqrt(np.maximum(1 - mu * mu, 0))
        cols = []
        diagonal = np.full_like(mu, np.sqrt(1 / (4 * np.pi)))
        for m in range(self.azimuthal + 1):
            if m:
                diagonal = diagonal * sin * np.sqrt((2 * m + 1) / (2 * m))
            before, now = np.zeros_like(mu), diagonal
            for l in range(m, self.degree + 1):
                if l > m:
                    a = np.sqrt((4 * l * l - 1) / (l * l - m * m))
                    b = np.sqrt(((l - 1) ** 2 - m * m) / (4 * (l - 1) ** 2 - 1))
                    before, now = now, a * (mu * now - b * before)
                cols.append(now * (np.sqrt(2) if m else 1))
        return np.array(cols).T

    def factors(self, air):
        """Factor of each harmonic in Rayleigh and in aerosol scattering."""
        ray = np.where(self.l == 0, 1.0, np.where(self.l == 2, 0.1, 0.0))
        return ray, air.g ** self.l.astype(float)


class Source:
    """Moments of the light on the grid: log of the mean, ratios to it; and light on the ground."""

    def __init__(self, moments, level):
        self.log = np.log(np.maximum(moments[..., 0], 1e-250))
        self.ratio = moments / np.maximum(moments[..., :1], 1e-250)
        self.level = np.log(np.maximum(level, 1e-250))


class Sky:
    """The solved light field of one kind of air."""

    def __init__(self, air, grid, chi_low=20.0, chi_high=115.0):
        self.air, self.grid = air, grid
        self.sun = SunTable(air)
        self.harmonics = Harmonics(grid.degree, grid.azimuthal)
        self.heights = heights(grid.heights)
        low = np.arange(chi_low, 80, 4 * grid.chi_step)
        self.chi = np.concatenate([low, np.arange(80, 112, grid.chi_step), np.arange(112, chi_high + 0.1, 3.0)])
        self.solve()

    def solve(self):
        """Orders of scattering: their summed source, light on the ground and net flux."""
        total, level, self.net, self.sizes = 0, 0, 0, []
        source = None
        rays = self.rays()
        for _ in range(self.grid.orders):
            moments, ground, net = self.order(rays, source)
            total, level, self.net = total + moments, level + ground, self.net + net
            self.sizes.append(ground)
            source = Source(moments, ground)
        self.level = level
        self.source = Source(total, level)

    def rays(self):
        """For each height the directions, their weights, the rays and their geometry."""
        phi = (np.arange(self.grid.phi) + 0.5) * np.pi / self.grid.phi
        out = []
        for h in self.heights:
            mu, w = self.directions(h)
            rays = [Ray(self.air, h, m, self.grid.steps) for m in mu]
            geometry = [self.compact(Geometry(self.air, h, ray, np.radians(self.chi), phi)) for ray in rays]
            basis = self.harmonics.polar(mu)[:, None, :] * np.cos(self.harmonics.m * phi[:, None])
            basis = basis * (w * 2 * np.pi / self.grid.phi)[:, None, None]
            flux = (mu * w)[:, None] * np.full(len(phi), 2 * np.pi / self.grid.phi)
            out.append((mu, rays, geometry, basis, flux))
        return out

    def compact(self, geometry):
        """The same geometry in less memory, with its place on the grid of chi."""
        i, w = self.place(geometry.chi)
        geometry.index, geometry.weight = i.astype(np.int16), w.astype(np.float32)
        geometry.chi = geometry.chi.astype(np.float32)
        geometry.cos_phi = geometry.cos_phi.astype(np.float32)
        return geometry

    def place(self, chi):
        """Place of chi on its grid: index below it and weight of the index above."""
        i = np.clip(np.searchsorted(self.chi, chi) - 1, 0, len(self.chi) - 2)
        w = (chi - self.chi[i]) / (self.chi[i + 1] - self.chi[i])
        return i, np.clip(w, 0, 1)

    def directions(self, h):
        """Cosines of view and weights at height h, split at the horizon of the earth and at the level."""
        n = self.grid.mu
        horizon = -np.sqrt(max(1 - (self.air.radius / (self.air.radius + h)) ** 2, 0))
        t, w = gauss(n, 0.0, 1.0)
        parts = [(t * t, 2 * t * w)]  # upward, dense at the level
        t, w = gauss(max(n // 2, 4), 0.0, 1.0)
        if h > 0:
            parts.append((horizon * t, -horizon * w))
        parts.append((horizon - (1 + horizon) * t * t, (1 + horizon) * 2 * t * w))  # the ground
        mu, w = (np.concatenate(p) for p in zip(*parts))
        return mu, w

    def order(self, rays, source):
        """Moments, light on the level ground and net downward flux of the light scattered or reflected once more."""
        nh, nc, nl = len(self.heights), len(self.chi), len(self.harmonics.l)
        moments, net, level = np.zeros((nh, nc, nl)), np.zeros((nh, nc)), np.zeros(nc)
        for i, (mu, paths, geometry, basis, flux) in enumerate(rays):
            for j, (ray, geo) in enumerate(zip(paths, geometry)):
                light = self.beam(ray, geo) if source is None else self.diffuse(ray, geo, source)
                if ray.ground:
                    light = light + ray.through * self.reflected(geo, source)
                moments[i] += light @ basis[j]
                net[i] += light @ flux[j]
                if i == 0 and mu[j] > 0:
                    level += light @ flux[j]
        return moments, level, net

    def beam(self, ray, geo):
        """Radiance of single scattering over the beam, 1/sr: [chi, phi]."""
        rows, edge = self.sun.at_heights(ray.h)
        t = self.sun.transmission(rows, edge, np.arange(len(ray.h)), geo.chi)
        p_ray, p_aer = self.air.phase(geo.cosine)
        return p_ray * (t @ ray.ray) + p_aer * (t @ ray.aer)

    def diffuse(self, ray, geo, source):
        """Radiance of the light that a source scatters into a ray: [chi, phi]."""
        table, log = self.along(ray, source)
        node = np.arange(len(ray.h))
        i, w = geo.index, geo.weight
        size = np.exp(log[node, i] * (1 - w) + log[node, i + 1] * w)
        w = w[..., None]
        terms = table[node, i] * (1 - w) + table[node, i + 1] * w
        total, before, now = terms[..., 0].copy(), np.ones_like(geo.cos_phi), geo.cos_phi
        for m in range(1, terms.shape[-1]):
            total += terms[..., m] * now
            before, now = now, 2 * geo.cos_phi * now - before
        return (size * total).sum(-1)

    def along(self, ray, source):
        """Source at the nodes of a ray by azimuthal number, over its mean, and the log of that: [node, chi(, m)]."""
        i = np.clip(np.searchsorted(self.heights, ray.h) - 1, 0, len(self.heights) - 2)
        w = ((ray.h - self.heights[i]) / (self.heights[i + 1] - self.heights[i]))[:, None]
        log = source.log[i] * (1 - w) + source.log[i + 1] * w
        f_ray, f_aer = self.harmonics.factors(self.air)
        polar = self.harmonics.polar(ray.node_mu)
        weight = (ray.ray[:, None] * f_ray + ray.aer[:, None] * f_aer) * polar
        table = np.empty(log.shape + (self.grid.azimuthal + 1,), dtype=np.float32)
        for m in range(self.grid.azimuthal + 1):
            k = self.harmonics.m == m
            low, high = source.ratio[:, :, k][i], source.ratio[:, :, k][i + 1]
            table[..., m] = ((low * (1 - w[..., None]) + high * w[..., None]) * weight[:, None, k]).sum(-1)
        return table, log

    def reflected(self, geo, source):
        """Radiance of the ground, lit by the sun itself or by the last order of sky light."""
        chi = geo.ground_chi
        if source is None:
            rows, edge = self.sun.at_heights(np.zeros(1))
            sun = self.sun.transmission(rows, edge, np.zeros(chi.shape, dtype=int), chi)
            level = np.maximum(np.cos(np.radians(chi)), 0) * sun
        else:
            i, w = self.place(chi)
            level = np.exp(source.level[i] * (1 - w) + source.level[i + 1] * w)
        return self.air.ground / np.pi * level

    def seen(self, suns, mu, phi, steps=120):
        """Luminance of the sky over the beam, 1/sr, from the ground: [sun, mu, phi], suns in degrees of altitude."""
        chi = np.radians(90 - np.asarray(suns, dtype=float))
        out = []
        for m in mu:
            ray = Ray(self.air, 0.0, m, steps)
            geo = self.compact(Geometry(self.air, 0.0, ray, chi, phi))
            out.append(self.beam(ray, geo) + self.diffuse(ray, geo, self.source))
        return np.moveaxis(np.array(out), 0, 1)

    def table(self, suns):
        """The columns of the table, one row for each sun."""
        t, w = gauss(48, 0.0, 1.0)
        mu, w = t * t, 2 * t * w
        n = 72
        phi = (np.arange(n) + 0.5) * np.pi / n
        light = self.seen(suns, mu, phi) * w[None, :, None] * 2 * np.pi / n
        level = np.einsum("smp,m->s", light, mu)
        sin = np.sqrt(1 - mu * mu)
        columns = [level]
        for plane in np.radians(PLANES):
            facing = (np.maximum(np.cos(phi - plane), 0) + np.maximum(np.cos(phi + plane), 0)) / 2
            columns.append(np.einsum("smp,m,p->s", light, sin, facing) / level)
        mu = np.sin(np.radians(ALTITUDES))
        seen = self.seen(suns, mu, np.radians(AZIMUTHS)) / level[:, None, None]
        for i, altitude in enumerate(ALTITUDES):
            for j in range(1 if altitude == 90 else len(AZIMUTHS)):
                columns.append(seen[:, i, j])
        return np.array(columns).T


def names():
    """Names of the columns of the table after depth and sun."""
    out = ["level"] + [f"v{p}" for p in PLANES]
    out += [f"L{a}_{z}" for a in ALTITUDES[:-1] for z in AZIMUTHS]
    return out + ["L90"]


HEADER = """\
# Shape of a clear sky at low sun and in twilight, by successive orders of scattering; written by sky.py.
# Spherical air to 80 km over an earth of 6371 km, {orders} orders, no refraction or polarisation, 550 nm.
# Rayleigh optical depth 0.0973 (scale height 8 km), aerosol aod550 (scale height 1.5 km, single-scattering
# albedo 0.93, Henyey-Greenstein g 0.70), ozone 0.03 (22 km, sd 5 km), ground albedo 0.2, observer on the ground.
# sun_deg: true altitude of the sun. level: sky light on the level over the beam outside the air.
# v<azimuth from the sun>: sky light on an upright plane over the level, no light from the ground.
# L<altitude>_<azimuth from the sun>: luminance over the light on the level, 1/sr.
# No noise; {error}"""


def write(grid, error):
    print(HEADER.format(orders=grid.orders, error=error))
    print("aod550,sun_deg," + ",".join(names()))
    for depth in DEPTHS:
        sky = Sky(Air(aerosol=depth), grid)
        print(f"depth {depth}: orders on the level, sun 0 and -6:", file=sys.stderr)
        for chi in (90, 96):
            k = np.argmin(abs(sky.chi - chi))
            print("  ", " ".join(f"{s[k]:.3g}" for s in sky.sizes), file=sys.stderr)
        for sun, row in zip(SUNS, sky.table(SUNS)):
            print(f"{depth:.2f},{sun}," + f"{row[0]:.4g}," + ",".join(f"{v:.4f}" for v in row[1:]), flush=True)


def check():
    """Prints the checks of the method."""
    check_thin()
    check_energy()
    check_high_sun()
    sky = SunTable(Air(refraction=2.78e-4))
    bend = np.degrees(sky.bend(np.zeros((1, 2)), np.radians([[90.0, 80.0]])))[0] * 60
    print(f"refraction at apparent altitude 0 and 10: {bend[0]:.1f}' and {bend[1]:.1f}' (almanacs: 34' and 5.3')")


def check_thin():
    """Single scattering in thin flat air against the closed formula."""
    air = Air(aerosol=0, ozone=0, ground=0, rayleigh=0.02, rayleigh_scale=2.0, radius=6.371e6)
    sky = Sky(air, dataclasses.replace(QUICK, orders=1), chi_low=0.0)
    suns, mu, phi = [60, 30, 10], np.array([0.1, 0.4, 0.7, 0.95]), np.radians([0, 60, 120, 180])
    worst = 0
    for sun in suns:
        m0 = np.sin(np.radians(sun))
        for m in mu:
            ray = Ray(air, 0.0, m, 60)
            geo = sky.compact(Geometry(air, 0.0, ray, np.radians([90.0 - sun]), phi))
            got = sky.beam(ray, geo)[0]
            p = 3 / (16 * np.pi) * (1 + (m * m0 + np.sqrt((1 - m * m) * (1 - m0 * m0)) * np.cos(phi)) ** 2)
            want = p * m0 / (m0 - m) * (np.exp(-air.rayleigh / m0) - np.exp(-air.rayleigh / m))
            worst = max(worst, np.abs(got / want - 1).max())
    print(f"thin flat Rayleigh air, single scattering against the formula: largest difference {worst:.1e}")


def check_energy():
    """Light that enters the spherical air against light that leaves it or is taken up by the ground."""
    air = Air(aerosol_albedo=1.0, ozone=0.0)
    sky = Sky(air, dataclasses.replace(QUICK, orders=16), chi_low=0.0, chi_high=180.0)
    chi = np.radians(sky.chi)
    top = air.radius + air.top

    def over(flux, r):
        return 2 * np.pi * r * r * np.trapz(flux, -np.cos(chi))

    escaped = over(-sky.net[-1], top)
    rows, edge = sky.sun.at_heights(np.zeros(1))
    sun = np.maximum(np.cos(chi), 0) * sky.sun.transmission(rows, edge, np.zeros(len(chi), dtype=int), sky.chi)
    ground = (1 - air.ground) * over(sun + sky.level, air.radius)
    b = np.linspace(air.radius, top, 4001)
    past = np.exp(-2 * sky.sun.straight(b - air.radius, np.full_like(b, np.pi / 2)))
    past = np.trapz(2 * np.pi * b * past, b)
    whole = np.pi * top * top
    parts = [v / whole for v in (escaped, ground, past)]
    print("energy, conservative air: scattered out {:.4f}, taken up by the ground {:.4f}, ".format(*parts) +
          "past the earth {:.4f}, together {:.4f} of the light that enters".format(parts[2], sum(parts)))


def check_high_sun():
    """Planes at a sun of 45 degrees beside the CIE clear sky (ISO 15469:2004, type 12)."""
    t, w = gauss(64, 0.0, 1.0)
    phi = (np.arange(180) + 0.5) * np.pi / 180
    angle = np.arccos((t[:, None] + np.sqrt(1 - t * t)[:, None] * np.cos(phi)) / np.sqrt(2))
    light = (1 - np.exp(-0.32 / t[:, None])) * (1 + 10 * (np.exp(-3 * angle) - np.exp(-1.5 * np.pi))
                                                 + 0.45 * np.cos(angle) ** 2)
    level = (light * (t * w)[:, None]).sum()
    print("sky light on upright planes over the level, sun 45:", *(f"v{p:<5d}" for p in PLANES))
    row = []
    for plane in np.radians(PLANES):
        facing = (np.maximum(np.cos(phi - plane), 0) + np.maximum(np.cos(phi + plane), 0)) / 2
        row.append((light * (np.sqrt(1 - t * t) * w)[:, None] * facing).sum() / level)
    print("    type 12                                       ", *(f"{v:.3f} " for v in row))
    for depth in DEPTHS:
        table = Sky(Air(aerosol=depth), QUICK).table([45])
        print(f"    aerosol {depth:.2f}                                  ", *(f"{v:.3f} " for v in table[0, 1:6]))


SHOWN = ["level", "v0", "v90", "v180", "L10_0", "L10_90", "L10_180"]


def finer():
    """Prints the differences between the table's grid and finer ones, in stops.

    First the nodes in height and direction and the degree of the moments, for two depths (six orders); then, with the
    coarse grid's nodes and degree, the table's steps in chi and along rays, and its range of chi.
    """
    for depth in (0.10, 0.25):
        grids = [dataclasses.replace(grid, orders=6) for grid in (FINE, FINER)]
        table, better = (Sky(Air(aerosol=depth), grid).table(SUNS) for grid in grids)
        show(f"aerosol {depth:.2f}: nodes and degree, table less finer grid", SUNS, np.log2(table / better))
    grid = dataclasses.replace(QUICK, chi_step=FINE.chi_step, steps=FINE.steps)
    table = Sky(Air(), grid).table(SUNS)
    better = Sky(Air(), dataclasses.replace(grid, chi_step=grid.chi_step / 2, steps=70)).table(SUNS)
    show("aerosol 0.10: steps, table less finer", SUNS, np.log2(table / better))
    wider = Sky(Air(), grid, chi_low=5.0, chi_high=130.0).table(SUNS)
    show("aerosol 0.10: range of chi, table less wider", SUNS, np.log2(table / wider))


def show(title, suns, stops):
    """Prints a table of differences in stops."""
    print(f"\n{title}, stops\n\n|  sun | " + " | ".join(f"{n:>7s}" for n in SHOWN)
          + " | planes rms | luminances rms | largest |\n|---" + "|---" * (len(SHOWN) + 3) + "|")
    index = [names().index(n) for n in SHOWN]
    for sun, row in zip(suns, stops):
        planes, light = np.sqrt((row[1:6] ** 2).mean()), np.sqrt((row[6:] ** 2).mean())
        k = np.argmax(abs(row))
        print(f"| {sun:4g} | " + " | ".join(f"{row[i]:+7.3f}" for i in index)
              + f" | {planes:10.3f} | {light:14.3f} | {row[k]:+.3f} {names()[k]} |", flush=True)


def compare(ours, theirs):
    """Prints the differences between two tables, in stops."""
    ours, theirs = read(ours), read(theirs)
    for depth in DEPTHS:
        suns = [s for s in SUNS if (depth, s) in ours and (depth, s) in theirs]
        show(f"aerosol {depth:.2f}", suns, [np.log2(ours[depth, s] / theirs[depth, s]) for s in suns])


def read(path):
    """Rows of a table by depth and sun."""
    rows = {}
    with open(path) as lines:
        lines = [line for line in lines if not line.startswith("#")]
    if lines[0].strip().split(",")[2:] != names():
        sys.exit(f"{path}: other columns than those of sky.py")
    for line in lines[1:]:
        values = [float(v) for v in line.split(",")]
        rows[values[0], values[1]] = np.array(values[2:])
    return rows


def vary():
    """Prints how far other air moves the main table, in stops, on the coarse grid."""
    suns = [10, 6, 3, 0, -2, -4, -6, -8]
    base = Sky(Air(), QUICK).table(suns)
    for name, change in [
        ("g 0.60", {"g": 0.60}),
        ("g 0.75", {"g": 0.75}),
        ("aerosol scale height 1.0 km", {"aerosol_scale": 1.0}),
        ("aerosol scale height 2.5 km", {"aerosol_scale": 2.5}),
        ("aerosol single-scattering albedo 0.85", {"aerosol_albedo": 0.85}),
        ("aerosol depth 0.05", {"aerosol": 0.05}),
        ("aerosol depth 0.25", {"aerosol": 0.25}),
        ("ozone 0.02", {"ozone": 0.02}),
        ("ground albedo 0", {"ground": 0.0}),
        ("ground albedo 0.8 (snow)", {"ground": 0.8}),
        ("refraction of the sun's rays", {"refraction": 2.78e-4}),
    ]:
        show(name, suns, np.log2(Sky(Air(**change), QUICK).table(suns) / base))
    show("three wavelengths", suns, np.log2(three_wavelengths(suns) / base))


def three_wavelengths(suns):
    """The table for luminance from three wavelengths.

    Daylight weighted by V(lambda) has a mean of 557 nm and a standard deviation of 43 nm (from memory); Gauss and
    Hermite's three nodes for it, with the Chappuis band's cross-section over that at 550 nm (from memory).
    """
    total = 0
    for nm, weight, ozone in [(483, 1 / 6, 0.21), (557, 2 / 3, 1.1), (631, 1 / 6, 1.1)]:
        table = Sky(Air().at(nm, ozone), QUICK).table(suns)
        table[:, 1:] *= table[:, :1]
        total = total + weight * table
    total[:, 1:] /= total[:, :1]
    return total


COLOUR_SUNS = [10, 8, 6, 5, 4, 3, 2, 1, 0, -1, -2, -3, -4, -5, -6]
NODES = np.array([420, 445, 475, 505, 530, 555, 575, 605, 640, 680], dtype=float)  # nm
COLOUR_GRID = dataclasses.replace(QUICK, orders=12)
PLACES = ["level"] + [f"v{p}" for p in PLANES] + ["L10_0", "L10_90", "L10_180"]


def spectra(air, suns=COLOUR_SUNS, grid=COLOUR_GRID, nodes=NODES, angstrom=1.3):
    """Light over the sun's outside the air, at the nodes: [sun, place, node], and the beam's [sun, node].

    The places are PLACES and the level with the beam.
    """
    light, beam = [], []
    columns = [names().index(p) for p in PLACES]
    for nm in nodes:
        sky = Sky(air.at(nm, colour.ozone(nm), angstrom), grid)
        table = sky.table(suns)
        table[:, 1:] *= table[:, :1]
        rows, edge = sky.sun.at_heights(np.zeros(1))
        chi = 90 - np.asarray(suns, dtype=float)
        beam.append(sky.sun.transmission(rows, edge, np.zeros(len(suns), dtype=int), chi))
        level = table[:, 0] + np.maximum(np.cos(np.radians(chi)), 0) * beam[-1]
        light.append(np.column_stack([table[:, columns], level]))
    return np.moveaxis(np.array(light), 0, -1), np.array(beam).T


COLOUR_HEADER = """\
# Colour of the light of a clear sky at low sun and in twilight; written by sky.py colour.
# Air, earth and method as in sky.csv, on a coarse grid with {orders} orders, at {nodes} nm.
# Aerosol depth aod550 * (550/nm)^1.3, Rayleigh depth as nm^-4.08, ozone by its cross-section, ground grey.
# sun_deg: true altitude of the sun. level: sky light on the level. v<azimuth from the sun>: sky light on an upright
# plane, no light from the ground. L<altitude>_<azimuth>: the sky itself. whole: sky and beam on the level.
# beam: the sun's; empty without one. Each: correlated colour temperature in mired (nearest point of the Planckian
# locus in CIE 1960 u, v; 0, its end, stands for all that is bluer), then _duv, the signed distance from that point
# (positive: greenish), and _x, _y, CIE 1931. Error of grid and wavelengths: see README.md."""


def write_colours():
    print(COLOUR_HEADER.format(orders=COLOUR_GRID.orders, nodes=" ".join(f"{n:g}" for n in NODES)))
    columns = [f"{p}{part}" for p in PLACES + ["whole", "beam"] for part in ("", "_duv", "_x", "_y")]
    print("aod550,sun_deg," + ",".join(columns))
    for depth in DEPTHS:
        light, beam = spectra(Air(aerosol=depth))
        for sun, places, direct in zip(COLOUR_SUNS, light, beam):
            cells = [f"{depth:.2f},{sun}"]
            cells += ["{:.1f},{:+.4f},{:.4f},{:.4f}".format(*colour.seen(NODES, row)) for row in places]
            cells.append("{:.1f},{:+.4f},{:.4f},{:.4f}".format(*colour.seen(NODES, direct)) if sun > 0 else ",,,")
            print(",".join(cells), flush=True)


COLOUR_SHOWN = ["level", "v0", "v90", "v180", "L10_0", "L10_90", "L10_180"]
FEW = np.array([420, 475, 530, 575, 605, 660], dtype=float)  # nm, for differences


def mireds(air, suns, grid, nodes, angstrom=1.3):
    """Mired of the places of COLOUR_SHOWN: [sun, place]."""
    light, _ = spectra(air, suns, grid, nodes, angstrom)
    index = [PLACES.index(p) for p in COLOUR_SHOWN]
    return np.array([[colour.seen(nodes, places[i])[0] for i in index] for places in light])


def show_mireds(title, suns, rows):
    """Prints a table of differences in mired."""
    print(f"\n{title}, mired\n\n| sun | " + " | ".join(COLOUR_SHOWN) + " |\n|---" + "|---" * len(COLOUR_SHOWN) + "|")
    for sun, row in zip(suns, rows):
        print(f"| {sun} | " + " | ".join(f"{v:+.1f}" for v in row) + " |", flush=True)


def check_colours():
    """Prints the errors of wavelengths, grid and orders, in mired."""
    suns = [10, 4, 1, 0, -2, -4, -6]
    first = dataclasses.replace(COLOUR_GRID, orders=1)
    many = mireds(Air(), suns, first, np.arange(410.0, 701.0, 10.0))
    show_mireds("one order: wavelengths of the table less 30", suns, mireds(Air(), suns, first, NODES) - many)
    show_mireds("one order: six wavelengths less 30", suns, mireds(Air(), suns, first, FEW) - many)
    three = np.array([440.0, 550.0, 650.0])
    fine = mireds(Air(), suns, dataclasses.replace(FINE, orders=2), three)
    coarse = mireds(Air(), suns, dataclasses.replace(COLOUR_GRID, orders=2), three)
    show_mireds("two orders, three wavelengths: grid of the table less that of sky.csv", suns, coarse - fine)


def vary_colours():
    """Prints how far other air moves the colours, in mired, from six wavelengths and six orders."""
    suns = [10, 6, 2, 0, -2, -4, -6]
    grid = dataclasses.replace(COLOUR_GRID, orders=6)
    base = mireds(Air(), suns, grid, FEW)
    for name, change, angstrom in [
        ("ozone 0.02", {"ozone": 0.02}, 1.3),
        ("Angstrom exponent 0.8", {}, 0.8),
        ("aerosol scale height 2.5 km", {"aerosol_scale": 2.5}, 1.3),
        ("refraction of the sun's rays", {"refraction": 2.78e-4}, 1.3),
        ("ground albedo 0.8 (snow)", {"ground": 0.8}, 1.3),
    ]:
        show_mireds(name, suns, mireds(Air(**change), suns, grid, FEW, angstrom) - base)


def main(args):
    match args:
        case ["colour"]:
            write_colours()
        case ["colour", "check"]:
            colour.check()
            check_colours()
        case ["colour", "vary"]:
            vary_colours()
        case []:
            write(FINE, "error of the grid: see README.md.")
        case ["quick"]:
            write(QUICK, "coarse grid, a first look.")
        case ["check"]:
            check()
        case ["finer"]:
            finer()
        case ["vary"]:
            vary()
        case ["compare", ours, theirs]:
            compare(ours, theirs)
        case _:
            sys.exit(__doc__.split("Needs")[0])


if __name__ == "__main__":
    main(sys.argv[1:])
