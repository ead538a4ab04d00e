#!/usr/bin/env python3
"""Fits the distribution of luminance over a sky with a low sun.

    python3 fit.py sky.csv

Prints the numbers that sky/lowsky.go holds, and by how much the form with them
is off the table.

The form is that of ISO 15469 with four numbers more. s is the sine of the
altitude, x the angle from the sun, A the azimuth from it; a sun below the
horizon counts as on it:

    (1 + a exp(b / s)) (1 - dim exp(-s / 0.06))
    (1 + c (exp(d x) - exp(d pi / 2)) + e cos^2 x + lean cos x)
    (1 - shadow exp(-(s / edge)^4) (1 - cos A) / 2)

Dim is what the air takes from light along the horizon, lean the side of the
sunset, shadow the earth's own on the other side, up to an edge. The numbers are
given at the knots; between them they run along straight lines, up to those of
the standard's type at 9 deg.

Clear is fitted to an aerosol of 0.10, hazy to 0.25. Cloud that lets the sun
through (type 8) is given half the contrast: the mean of the clear table and of
type 8 itself.
"""
import csv
import sys

import numpy as np
from scipy.optimize import least_squares

RAD = np.pi / 180
ALTITUDES = (2, 5, 10, 20, 40, 70)
AZIMUTHS = (0, 15, 30, 45, 60, 90, 120, 150, 180)
PLANES = (0, 45, 90, 135, 180)
KNOTS = (4, 2, 0, -2, -4, -6, -8)
BEGINS = 9
TYPES = {8: (0, -1, 10, -3, .45), 12: (-1, -.32, 10, -3, .45), 13: (-1, -.32, 16, -3, .30)}

# A grid over half of the sky; the other half mirrors it.
ROWS, COLUMNS = 45, 36
GRID = np.meshgrid((np.arange(ROWS) + .5) * 90 / ROWS * RAD, (np.arange(COLUMNS) + .5) * 180 / COLUMNS * RAD,
                   indexing='ij')
CELL = np.cos(GRID[0]) * (90 / ROWS * RAD) * (180 / COLUMNS * RAD)
POINTS = np.meshgrid(np.array(ALTITUDES) * RAD, np.array(AZIMUTHS) * RAD, indexing='ij')


def luminance(p, sun, altitude, azimuth):
    a, b, c, d, e, lean, dim, shadow, edge = p
    s, sun = np.sin(altitude), max(sun, 0) * RAD
    cos = np.clip(np.sin(sun) * s + np.cos(sun) * np.cos(altitude) * np.cos(azimuth), -1, 1)
    gradation = (1 + a * np.exp(b / np.maximum(s, 1e-6))) * (1 - dim * np.exp(-s / .06))
    indicatrix = 1 + c * (np.exp(d * np.arccos(cos)) - np.exp(d * np.pi / 2)) + e * cos * cos + lean * cos
    return gradation * indicatrix * (1 - shadow * np.exp(-(s / edge) ** 4) * (1 - np.cos(azimuth)) / 2)


def evaluate(p, sun):
    """Planes, luminances and zenith over the light on the level, and the least luminance."""
    over = luminance(p, sun, *GRID) * CELL
    level = 2 * (over * np.sin(GRID[0])).sum()
    planes = [(over * np.cos(GRID[0]) * (np.maximum(0, np.cos(GRID[1] - v * RAD)) +
                                         np.maximum(0, np.cos(GRID[1] + v * RAD)))).sum() / level for v in PLANES]
    return np.array(planes), luminance(p, sun, *POINTS) / level, luminance(p, sun, np.pi / 2, 0) / level, over.min()


def read(name, aerosol):
    rows = csv.DictReader(line for line in open(name) if not line.startswith('#'))
    return {float(r['sun_deg']): (np.array([float(r['v%d' % v]) for v in PLANES]),
                                  np.array([[float(r['L%d_%d' % (h, z)]) for z in AZIMUTHS] for h in ALTITUDES]),
                                  float(r['L90'])) for r in rows if r['aod550'] == aerosol}


def standard(kind):
    return np.array(TYPES[kind] + (0, 0, 0, .2))


def halved(table, kind):
    mixed = {}
    for sun, values in table.items():
        own = evaluate(standard(kind), sun)
        mixed[sun] = tuple((x + y) / 2 for x, y in zip(values, own[:3]))
    return mixed


def between(knots, sun):
    return np.array([np.interp(sun, KNOTS[::-1], knots[::-1, i]) for i in range(9)])


def stops(x):
    return np.log2(np.maximum(x, 1e-4))


# Luminances count by what a picture shows of them: little right above the horizon and overhead.
WEIGHTS = np.array([.12, .8, 2.2, 1.2, .7, .5])[:, None]
SCALES = np.array([.1, .3, 2, .6, .3, .3, .2, .2, .1])


def misses(table, knots):
    for sun, (planes, points, zenith) in table.items():
        if not KNOTS[-1] <= sun <= KNOTS[0]:
            continue
        has = evaluate(between(knots, sun), sun)
        yield sun, stops(has[0] / planes), stops(has[1] / points), stops(has[2] / zenith), has[3]


def fit(table, start):
    def residuals(x):
        knots, out = x.reshape(-1, 9), []
        for sun, planes, points, zenith, least in misses(table, knots):
            sure = 1 if sun >= -4 else .5  # less light, less sure
            out += [sure * 4 * planes, (sure * WEIGHTS * points).ravel(), [sure * .8 * zenith, 100 * min(0, least)]]
        out.append((.05 * np.diff(knots, 2, axis=0) / SCALES).ravel())
        a, d, dim, shadow, edge = (knots[:, i] for i in (0, 3, 6, 7, 8))
        for over in (dim - .97, shadow - .95, -shadow, .1 - edge, edge - .6, d + .1, -.99 - a):
            out.append(30 * np.maximum(0, over))
        return np.concatenate([np.ravel(o) for o in out])
    return least_squares(residuals, start.ravel(), x_scale=np.tile(SCALES, len(KNOTS)), max_nfev=200).x.reshape(-1, 9)


START = np.array([[-.98, -.2, 8.9, -3.4, .5, 0, .43, .32, .17], [-.98, -.2, 6, -3.5, .5, 0, .7, .34, .18],
                  [-.98, -.24, 2.1, -3, .5, .07, .89, .43, .19], [-.98, -.25, 1.5, -1.2, .5, 0, .9, .67, .25],
                  [-.98, -.2, 1.2, -1, .65, .2, .95, .83, .4], [-.98, -.1, 2.5, -1.7, 1, .7, .95, .8, .45], [-.98, -.08, 5, -1.7, 1, .7, .95, .8, .5]])


def main():
    np.set_printoptions(precision=2, suppress=True, linewidth=160)
    clear, hazy = read(sys.argv[1], '0.10'), read(sys.argv[1], '0.25')
    start = START
    for kind, table in ((12, clear), (13, hazy), (8, halved(clear, 8))):
        knots = np.round(fit(table, start), 3)
        if kind == 12:
            start = knots
        print('type', kind)
        for sun, row in zip(KNOTS, knots):
            print('\t\t{%s}, // %d' % (', '.join('%g' % v for v in row), sun))
        print('off, stops: sun, planes, 10 deg up by azimuth, worst by altitude, zenith')
        for sun, planes, points, zenith, least in misses(table, knots):
            assert least > 0
            print('%5.1f' % sun, planes, points[2], abs(points).max(1), '%.2f' % zenith)


main()
