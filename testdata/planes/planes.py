#!/usr/bin/env python3
"""Light on the two planes of a sitter's face under standard skies with sun, by brute force.

README
------
planes.csv holds check values for the planes of a face outdoors. This script made it:

    python3 planes.py > planes.csv

It needs numpy alone. It is written from the definitions below and shares no code with the library it checks.
The checks it makes on itself go to standard error; it exits with 1 if one fails.

    python3 planes.py --types FILE --luminance FILE --integrals FILE

only compares the sky with tables of the standard's parameters (type,a,b,c,d,e,...), of relative luminance
(type,sun_alt,zenith,az_minus_sun_az,L_over_Lz) and of integrals (type,sun_alt,Eh_over_Lz,...,toward,90,away as the
last three columns). Any one of the three may be left out.

Definitions
-----------
All light is over the sky's light on the level (diffuse horizontal illuminance), so that this is 1. Angles are in
degrees. The sitter faces the camera, bearing 0; the sun has altitude sun_deg and stands bearing_deg clockwise from
the camera's direction (seen from above), negative when it stands on the other side.

sky       ISO 15469:2004 (CIE S 011/E:2003): L/Lz = phi(Z) f(chi) / (phi(0) f(Zsun)), phi(Z) = 1 + a exp(b / cos Z),
          f(chi) = 1 + c (exp(d chi) - exp(d pi/2)) + e cos^2 chi. Types 1, 8, 12, 13.
beam      parallel light from the sun's centre: beam_over_diffuse on a plane square to it. These ratios are inputs,
          chosen round figures of a likely size; they are not measurements and no result depends on their being right.
ground    even and diffuse, without end: luminance albedo * level / pi, level = 1 + beam * sin(sun_deg).
face      upright plane facing the camera: sky, ground and beam.
key       upright plane 45 degrees from the camera's direction toward the sun's side: sky and ground; and the beam as
          it falls on the plane, of all planes in space whose normal lies within 45 degrees of the camera's direction,
          that gets most of it. With the sun at bearing 0 or 180 either side gives the same.
key_no_beam  the same as key without the beam's direct light (the ground that the beam lights stays).
shadow    upright plane 45 degrees from the camera's direction on the other side: sky and ground, never the beam.

Method
------
Sky and ground: midpoint sum over cells of equal altitude and azimuth step of the whole sphere, each with its exact
solid angle. Beam on the key side: search over a dense grid of normals on the cap of 45 degrees round the camera's
direction, its rim included; no closed formula is used for what is written.
"""

import argparse
import csv
import sys
import time

import numpy as np

# Gradation a, b and indicatrix c, d, e of the types: ISO 15469:2004.
TYPES = {
    1: (4.0, -0.70, 0.0, -1.0, 0.00),
    8: (0.0, -1.00, 10.0, -3.0, 0.45),
    12: (-1.0, -0.32, 10.0, -3.0, 0.45),
    13: (-1.0, -0.32, 16.0, -3.0, 0.30),
}

# Beam over diffuse by type and sun altitude: chosen inputs.
BEAM = {
    1: {10: 0, 60: 0},
    8: {10: 0.3, 30: 1, 60: 1.5},
    12: {9: 3.5, 10: 4, 15: 5, 20: 6, 30: 7, 40: 7.5, 50: 8, 60: 8, 70: 8},
    13: {10: 1, 30: 3, 60: 4},
}

STEP = 0.5          # degrees, cells of the sphere
CAP_STEP = 0.25     # degrees, normals on the cap
LIMIT = 0.003       # greatest relative error allowed
COLUMNS = ("key", "key_no_beam", "shadow", "face")


def direction(altitude, azimuth):
    """Unit vectors (x toward azimuth 0, y toward azimuth 90, z up) from angles in degrees."""
    h, a = np.radians(altitude), np.radians(azimuth)
    return np.stack(np.broadcast_arrays(np.cos(h) * np.cos(a), np.cos(h) * np.sin(a), np.sin(h)), axis=-1)


def cells(step):
    """Directions of cell centres over the whole sphere, and their solid angles in steradians."""
    n = round(180 / step)
    edges = np.linspace(-90, 90, n + 1)
    altitude = (edges[:-1] + edges[1:]) / 2
    azimuth = (np.arange(2 * n) + 0.5) * 180 / n
    h, a = np.meshgrid(altitude, azimuth, indexing="ij")
    solid = np.repeat(np.diff(np.sin(np.radians(edges))) * np.pi / n, 2 * n)
    return direction(h.ravel(), a.ravel()), solid


def spiral(n):
    """Directions of n points evenly strewn over the sphere along a golden spiral, with their solid angles."""
    i = np.arange(n)
    z = 1 - (2 * i + 1) / n
    a = i * np.pi * (3 - np.sqrt(5))
    r = np.sqrt(1 - z * z)
    return np.stack((r * np.cos(a), r * np.sin(a), z), axis=-1), np.full(n, 4 * np.pi / n)


def luminance(parameters, sun, points):
    """Sky luminance up to a common factor, phi(Z) f(chi), at points above the horizon."""
    a, b, c, d, e = parameters
    chi = np.arccos(np.clip(points @ sun, -1, 1))
    gradation = 1 + a * np.exp(b / points[:, 2])
    return gradation * (1 + c * (np.exp(d * chi) - np.exp(d * np.pi / 2)) + e * np.cos(chi) ** 2)


def surroundings(parameters, sun, beam, albedo, points, solid):
    """Luminance all round, the sky scaled so that its light on the level is 1, and the ground that it lights."""
    up = points[:, 2] > 0
    light = np.zeros(len(points))
    light[up] = luminance(parameters, sun, points[up])
    light[up] /= np.sum(light[up] * points[up, 2] * solid[up])
    light[~up] = albedo * (1 + beam * sun[2]) / np.pi
    return light


def on_plane(normal, light, points, solid):
    """Illuminance on the plane with this normal, from luminance all round."""
    return np.sum(light * np.maximum(0, points @ normal) * solid)


def cap(step):
    """Normals within 45 degrees of the camera's direction (x), in space, centre and rim included."""
    polar, turn = np.meshgrid(np.linspace(0, 45, round(45 / step) + 1), np.arange(0, 360, step), indexing="ij")
    p, t = np.radians(polar.ravel()), np.radians(turn.ravel())
    return np.stack((np.cos(p), np.sin(p) * np.cos(t), np.sin(p) * np.sin(t)), axis=-1)


def planes(row, sphere, normals):
    """The four values of COLUMNS for one row."""
    kind, altitude, bearing, albedo, beam = row
    sun = direction(altitude, bearing)
    light = surroundings(TYPES[kind], sun, beam, albedo, *sphere)
    side = -1 if bearing < 0 else 1
    even = on_plane(direction(0, 45 * side), light, *sphere)
    shadow = on_plane(direction(0, -45 * side), light, *sphere)
    camera = direction(0, 0)
    face = on_plane(camera, light, *sphere) + beam * max(0, camera @ sun)
    return even + beam * max(0, (normals @ sun).max()), even, shadow, face


def rows():
    """The rows of the table: type, sun altitude, bearing, albedo, beam over diffuse."""
    wanted = []

    def add(kind, altitudes, bearings, albedos, beam=None):
        for h in altitudes:
            for albedo in albedos:
                for d in bearings:
                    wanted.append((kind, h, d, albedo, BEAM[kind][h] if beam is None else beam))

    add(12, BEAM[12], range(0, 181, 15), [0.2])
    add(12, [10, 40, 70], [-30, -75, -120, -165], [0.2])
    add(12, [10, 40, 70], range(0, 181, 45), [0, 0.4])
    add(13, BEAM[13], [*range(0, 181, 30), -45, -105], [0.2])
    add(8, BEAM[8], [*range(0, 181, 30), -45, -105], [0.4])
    add(8, [30], [0, 75, 180], [0.2], beam=0)
    add(1, BEAM[1], [0, -60, 135], [0, 0.2, 0.4])
    return wanted


def worst(first, second):
    """The greatest relative difference of two tables; a value that is 0 in both counts as equal."""
    return np.max(np.abs(first - second) / np.maximum(np.abs(first), 1e-12))


def closed_key_beam(altitude, bearing):
    """cos(max(0, theta - 45)), none from 135 degrees on: compared with the search, not used for the table."""
    theta = np.degrees(np.arccos(np.cos(np.radians(altitude)) * np.cos(np.radians(bearing))))
    return 0.0 if theta >= 135 else np.cos(np.radians(max(0, theta - 45)))


def ground_difference(step):
    """Greatest difference of quadrature and albedo * level / 2 on an upright plane, relative."""
    points, solid = cells(step)
    light = np.where(points[:, 2] > 0, 0, 1 / np.pi)
    return max(abs(2 * on_plane(direction(0, a), light, points, solid) - 1) for a in (0, 17.3, 45))


def check(wanted, table, normals):
    """Checks the table; returns the lines that say how, and whether all is well."""
    def again(sphere):
        return np.array([planes(row, sphere, normals) for row in wanted])
    halved = worst(again(cells(STEP / 2)), table)
    coarse = worst(table, again(cells(STEP * 2)))
    spread = worst(again(spiral(200_000)), table)
    suns = {(h, d) for _, h, d, _, _ in wanted}
    search = max(abs(max(0, (normals @ direction(*s)).max()) - closed_key_beam(*s)) for s in suns)
    ground = ground_difference(STEP)
    lines = [
        f"Step {STEP} deg. Halved to {STEP / 2} deg no value changes by more than {100 * halved:.4f} %"
        f" (doubled to {STEP * 2} deg: {100 * coarse:.4f} %).",
        f"200 000 points of a golden spiral instead of the cells: within {100 * spread:.4f} %.",
        f"Ground by quadrature within {100 * ground:.4f} % of albedo * level / 2.",
        f"Key-side beam by search of normals every {CAP_STEP} deg: within {search:.1e} (of a beam of 1)"
        f" of cos(max(0, theta - 45 deg)).",
    ]
    return lines, max(halved, spread, ground, search) < LIMIT


def write(out, wanted, table, lines):
    """Writes the table with its source in the first comment lines."""
    head = [
        "Planes of a sitter's face under ISO 15469:2004 (CIE S 011/E:2003) skies with sun. Source: own numerical",
        "quadrature by planes.py (independent implementation from the definitions, which it states).",
        *lines,
        "bearing: sun's azimuth minus the sitter's facing. beam_over_diffuse: chosen input, not measured.",
    ]
    out.writelines(f"# {line}\n" for line in head)
    names = ["type", "sun_deg", "bearing_deg", "albedo", "beam_over_diffuse", *(c + "_over_diffuse" for c in COLUMNS)]
    print(",".join(names), file=out)
    for row, values in zip(wanted, table):
        print(",".join([*(f"{v:g}" for v in row), *(f"{v:.5f}" for v in values)]), file=out)


def read(path):
    """Rows of numbers of a table: comment lines and the line of names left out, each row with its columns as text."""
    with open(path, encoding="utf-8") as f:
        return list(csv.reader(line for line in f if not line.startswith("#")))[1:]


def compare_types(path):
    """Greatest difference of the parameters from those of a table."""
    table = {int(r[0]): [float(v) for v in r[1:6]] for r in read(path)}
    return max(np.max(np.abs(np.subtract(table[k], p))) for k, p in TYPES.items())


def compare_luminance(path):
    """Greatest difference of relative luminance from a table, and the number of rows compared."""
    found = []
    for kind, altitude, zenith, azimuth, value in (map(float, r) for r in read(path)):
        if kind in TYPES:
            pair = np.stack((direction(90 - zenith, azimuth), direction(90, 0)))
            point, top = luminance(TYPES[kind], direction(altitude, 0), pair)
            found.append(abs(point / top - value))
    return max(found), len(found)


def compare_integrals(path):
    """Greatest relative difference of integrals from a table, and the number of rows compared."""
    sphere, found = cells(STEP), []
    for r in read(path):
        kind, altitude = int(r[0]), float(r[1])
        if kind in TYPES:
            sun = direction(altitude, 0)
            light = surroundings(TYPES[kind], sun, 0, 0, *sphere)
            up = sphere[0][:, 2] > 0
            level = np.sum((luminance(TYPES[kind], sun, sphere[0][up]) * sphere[0][up, 2] * sphere[1][up]))
            top = luminance(TYPES[kind], sun, direction(90, 0)[None, :])[0]
            ours = [level / top] + [on_plane(direction(0, a), light, *sphere) for a in (0, 90, 180)]
            found.append(worst(np.array([float(v) for v in (r[2], *r[-3:])]), np.array(ours)))
    return max(found), len(found)


def compare(arguments):
    """Compares the sky with the tables named; reports whether it agrees."""
    good = True
    if arguments.types:
        off = compare_types(arguments.types)
        good &= off == 0
        print(f"parameters: greatest difference {off:g}")
    if arguments.luminance:
        off, n = compare_luminance(arguments.luminance)
        good &= off < 1e-5
        print(f"relative luminance: {n} rows, greatest difference {off:.1e}")
    if arguments.integrals:
        off, n = compare_integrals(arguments.integrals)
        good &= off < LIMIT
        print(f"integrals: {n} rows, greatest relative difference {100 * off:.4f} %")
    return good


def main():
    parser = argparse.ArgumentParser(description="Light on the planes of a face, by brute force.")
    for name in ("types", "luminance", "integrals"):
        parser.add_argument("--" + name, metavar="FILE", help=f"compare the sky with a table of {name}")
    arguments = parser.parse_args()
    if arguments.types or arguments.luminance or arguments.integrals:
        return 0 if compare(arguments) else 1
    start = time.time()
    wanted, normals, sphere = rows(), cap(CAP_STEP), cells(STEP)
    table = np.array([planes(row, sphere, normals) for row in wanted])
    lines, good = check(wanted, table, normals)
    write(sys.stdout, wanted, table, lines)
    print("\n".join(lines), f"{len(wanted)} rows, {time.time() - start:.0f} s", sep="\n", file=sys.stderr)
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
