"""Writes the clearance of random tires to random obstacles as JSON, by an independent collision
library: coal's GJK on general convex shapes, which knows nothing of sections or slopes.

    python solid.py > solid.json      those that are stored
    python solid.py --count 6000      more of them
    python solid.py --seed 7          another family

How each shape is told to coal, and by how much that may be off, mm:
- a tire with one corner: coal's own cylinder; the rounding is taken off the distance. Exact.
- a tire with several: a mesh whose corners lie on the true surface, 720 around. It lies inside the
  true one by at most R(1 - cos(pi/720)): 0.0055 for the largest tire here. With a rounding, as above.
- ball, bar, plate, block: coal's own sphere, capsule and box; a plate is a box of no thickness.
- an arch: flat strips between points on the true arc, 0.5 degrees each at most; they lie inside it
  by at most R(1 - cos(0.25 deg)): 0.0076 for the largest.
What coal's search leaves is 1e-6. Where the cores overlap there is contact and no distance is given.
"""

import argparse
import functools
import json
import math
import sys

import coal
import numpy as np

STORED = 600
KINDS = ["ball", "bar", "plate", "block", "straight", "arch"]
AROUND = 720
STRIP = math.radians(0.5)
CIRCLE = np.array([[math.cos(angle), math.sin(angle)]
                   for angle in np.arange(AROUND) * 2 * math.pi / AROUND])


def rotation(vector):
    """The rotation matrix of a rotation vector (Rodrigues)."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + math.sin(angle) * k + (1 - math.cos(angle)) * k @ k


def onto(axis):
    """A rotation that takes z to a unit axis."""
    turn = np.cross([0.0, 0.0, 1.0], axis)
    sine = np.linalg.norm(turn)
    if sine < 1e-12:
        return np.eye(3)
    return rotation(turn / sine * math.atan2(sine, axis[2]))


def section(rng):
    """A core's corners from sidewall to tread, and its rounding."""
    radius, half = rng.uniform(320, 520), rng.uniform(100, 190)
    if rng.random() < 0.5:
        rounding = rng.uniform(5, 80)
        return [[half - rounding, radius - rounding]], rounding
    height = rng.uniform(0.35, 0.5) * radius
    drop = rng.uniform(0.1, 0.4) * height
    lug = half - rng.uniform(0.02, 0.12) * half
    tread, crown = rng.uniform(0.65, 0.85) * half, rng.uniform(0, 0.4) * drop
    points = [[half, radius - rng.uniform(1.2, 2.0) * drop], [lug, radius - drop],
              [tread, radius - crown], [0.0, radius]]
    rounding = rng.choice([0.0, rng.uniform(5, 40)])
    return upper(points), float(rounding)


def upper(points):
    """The corners of the least convex section that holds the points, widest first."""
    points = sorted(points, key=lambda p: (p[1], -p[0]))
    kept = []
    for p in points:
        if kept and p[0] <= kept[-1][0] and p[1] <= kept[-1][1]:
            continue
        while kept and p[0] >= kept[-1][0]:
            kept.pop()
        while len(kept) > 1 and cross(kept[-2], kept[-1], p) <= 1e-9:
            kept.pop()
        kept.append(p)
    return kept


def cross(a, b, c):
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def core(corners):
    """The core as coal's shape, its axis along z."""
    if len(corners) == 1:
        [[half, radius]] = corners
        return coal.Cylinder(radius, 2 * half)
    rings = [(a, o) for a, o in corners] + [(-a, o) for a, o in reversed(corners) if a > 0]
    points = np.empty((len(rings), AROUND, 3))
    for ring, (a, o) in enumerate(rings):
        points[ring, :, :2], points[ring, :, 2] = o * CIRCLE, a
    stored = coal.StdVec_Vec3s()
    stored.extend(list(points.reshape(-1, 3)))
    return coal.Convex(stored, faces(len(rings)))


@functools.cache
def faces(rings):
    """The triangles of a mesh of so many rings: they hang on no size, so each mesh is made once."""
    found = coal.StdVec_Triangle()
    for ring in range(rings - 1):
        for i in range(AROUND):
            j = (i + 1) % AROUND
            near, far = ring * AROUND, (ring + 1) * AROUND
            found.append(coal.Triangle(near + i, far + i, near + j))
            found.append(coal.Triangle(near + j, far + i, far + j))
    # The two ends as zigzag strips: a fan would give one corner more neighbours than coal counts.
    for start, flip in [(0, False), ((rings - 1) * AROUND, True)]:
        for i in range(1, AROUND // 2):
            a, b, c, d = i, AROUND - i, i + 1, AROUND - i - 1
            strip = [(a, c, b)] if d == c else [(a, c, b), (b, c, d)]
            for x, y, z in [(0, 1, AROUND - 1)] + strip if i == 1 else strip:
                x, y, z = start + x, start + y, start + z
                found.append(coal.Triangle(x, z, y) if flip else coal.Triangle(x, y, z))
    return found


def arch_strips(arch):
    """The arc through three lip points, as flat strips: boxes of no thickness with their poses."""
    front, top, rear = arch["lips"]
    # |p - c|^2 is the same for all three points: two linear equations for the centre.
    a = np.array([[front, 0.0], [0.0, top], [-rear, 0.0]])
    rows = 2 * (a[1:] - a[0])
    centre = np.linalg.solve(rows, (a[1:] ** 2).sum(axis=1) - (a[0] ** 2).sum())
    radius = float(np.linalg.norm(a[0] - centre))
    first = math.atan2(-centre[1], front - centre[0])
    last = math.atan2(-centre[1], -rear - centre[0]) % (2 * math.pi)
    count = math.ceil((last - first) / STRIP)
    inner, lip = arch["across"]
    for i in range(count):
        b, c = (first + (last - first) * (i + k) / count for k in (0, 1))
        ends = [centre + radius * np.array([math.cos(t), math.sin(t)]) for t in (b, c)]
        middle, step = (ends[0] + ends[1]) / 2, ends[1] - ends[0]
        length = float(np.linalg.norm(step))
        x = np.array([step[0], 0.0, step[1]]) / length
        # Its x, the truck's y, and x cross y.
        frame = np.array([[x[0], 0.0, -x[2]], [0.0, 1.0, 0.0], [x[2], 0.0, x[0]]])
        at = np.array([middle[0], (inner + lip) / 2, middle[1]])
        yield coal.Box(length, lip - inner, 0.0), coal.Transform3s(frame, at)


def obstacle(rng, kind, centre):
    """An obstacle near a tire, as it is told to the engine."""
    if kind == "arch":
        lips = [float(v) for v in rng.uniform(430, 800, 3)]
        inner = float(rng.uniform(500, 700))
        return {"lips": lips, "across": [inner, inner + float(rng.uniform(20, 260))]}
    radius = float(rng.choice([0.0, rng.uniform(1, 50)]))
    sides = {"ball": 0, "bar": 1, "plate": 2, "block": 3, "straight": 3}[kind]
    if kind == "straight":
        radius = 0.0
    size = rng.uniform(15, 900, 3)[:sides]
    turn = np.eye(3) if kind == "straight" else rotation(rng.uniform(-1.8, 1.8, 3))
    edges = [turn[:, i] * size[i] for i in range(sides)]
    away = rng.normal(size=3)
    away *= rng.uniform(150, 900) / np.linalg.norm(away)
    corner = centre + away - sum((edge * rng.random() for edge in edges), np.zeros(3))
    return {"corner": corner.tolist(), "edges": [e.tolist() for e in edges], "radius": radius}


def parts(thing):
    """An obstacle as coal's shapes with their poses, and what it is grown by."""
    if "lips" in thing:
        return list(arch_strips(thing)), 0.0
    corner, edges = np.array(thing["corner"]), [np.array(e) for e in thing["edges"]]
    radius = thing["radius"]
    middle = corner + sum((e / 2 for e in edges), np.zeros(3))
    size = [float(np.linalg.norm(e)) for e in edges]
    if not edges:
        return [(coal.Sphere(radius), coal.Transform3s(np.eye(3), middle))], 0.0
    if len(edges) == 1:
        frame = onto(edges[0] / size[0])
        return [(coal.Capsule(radius, size[0]), coal.Transform3s(frame, middle))], 0.0
    x, y = edges[0] / size[0], edges[1] / size[1]
    frame = np.column_stack([x, y, np.cross(x, y)])
    box = coal.Box(size[0], size[1], size[2] if len(size) > 2 else 0.0)
    return [(box, coal.Transform3s(frame, middle))], radius


def gap(shape, tire, thing):
    """Coal's clearance, or nothing where the cores overlap."""
    at = coal.Transform3s(onto(np.array(tire["axis"])), np.array(tire["centre"]))
    request = coal.DistanceRequest()
    request.gjk_max_iterations = 2000
    request.gjk_tolerance = 1e-7
    pieces, grown = parts(thing)
    least = math.inf
    reach = max(math.hypot(*corner) for corner in tire["corners"])
    apart = [float(np.linalg.norm(place.getTranslation() - at.getTranslation()))
             for _, place in pieces]
    for i in np.argsort(apart):
        piece, place = pieces[i]
        # What lies outside the sphere about a piece cannot be nearer than the sphere.
        if len(pieces) > 1 and apart[i] - reach - math.hypot(*piece.halfSide) > least:
            continue
        result = coal.DistanceResult()
        least = min(least, coal.distance(shape, at, piece, place, request, result))
    if least <= 0:
        return None
    return least - tire["rounding"] - grown


def triple(rng, kind):
    corners, rounding = section(rng)
    if kind == "arch":
        centre = np.array([*rng.uniform(-80, 80, 1), *rng.uniform(560, 800, 1),
                           *rng.uniform(-150, 150, 1)])
    else:
        centre = rng.uniform(-200, 200, 3)
    axis = np.array([rng.uniform(-0.7, 0.7), 1.0, rng.uniform(-0.25, 0.25)])
    tire = {"corners": [[float(v) for v in c] for c in corners], "rounding": float(rounding),
            "centre": centre.tolist(), "axis": (axis / np.linalg.norm(axis)).tolist()}
    thing = obstacle(rng, kind, centre)
    # Rounded before it is asked about, so that both are told the same.
    tire["centre"], tire["corners"] = rounded(tire["centre"], 6), rounded(tire["corners"], 6)
    tire["rounding"] = round(tire["rounding"], 6)
    tire["axis"] = rounded(tire["axis"], 16)
    for key, digits in [("corner", 6), ("lips", 6), ("across", 6)]:
        if key in thing:
            thing[key] = rounded(thing[key], digits)
    shape = core(tire["corners"])
    found = gap(shape, tire, thing)
    # Most of them brought near contact, where it matters: out of the tire, or up to it.
    for _ in range(8):
        if kind == "arch" or rng.random() < 0.15 or found is not None and found < 150:
            break
        away = np.array(thing["corner"]) + sum((np.array(e) / 2 for e in thing["edges"]), 0) - centre
        away /= np.linalg.norm(away)
        by = rng.uniform(60, 200) if found is None else -found + rng.uniform(-20, 150)
        thing["corner"] = rounded(np.array(thing["corner"]) + by * away, 6)
        found = gap(shape, tire, thing)
    return {"kind": kind, "tire": tire, "thing": thing,
            "gap": None if found is None else round(found, 7)}


def rounded(values, digits):
    return [rounded(v, digits) if isinstance(v, list) else round(float(v), digits)
            for v in values]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=STORED)
    parser.add_argument("--seed", type=int, default=20)
    asked = parser.parse_args()
    triples = []
    for number in range(asked.count):
        # Each its own stream, so that a few are the first of many.
        rng = np.random.default_rng([asked.seed, number])
        triples.append(triple(rng, KINDS[number % len(KINDS)]))
    lines = ",\n".join(json.dumps(t) for t in triples)
    sys.stdout.write(f'{{"seed": {asked.seed}, "triples": [\n{lines}\n]}}\n')


if __name__ == "__main__":
    main()
