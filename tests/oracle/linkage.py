"""An axle's members as arrays of numbers, read from the build document's own form.

A linkage is a dictionary of arrays (`numbers`, in which parts are fitted) and what does not change
with parts: which body each bush ties to which, which links are elastic. Bodies: 0 is the axle, then
arms or leaf halves and shackles; the last index is the chassis.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from quaternions import about, turned

Y = np.array([0.0, 1.0, 0.0])
PER_RAD = 1000.0 * 180.0 / math.pi
# Where a leaf's half meets the axle it is as good as pinned there, N/mm.
PIVOT_RATE = 1e5


@dataclass
class Linkage:
    bodies: int
    numbers: dict
    # Bush by bush: the body whose axes the rubber keeps to, and the other.
    arm: list
    body: list
    # Links by what they are, in the order of the arrays.
    names: list
    # All links are elastic alike.
    elastic: bool
    # "axle", "chassis" or None.
    crank_on: str | None

    def between(self, other, s):
        """The share `s` of the way to `other`."""
        a, b = self.numbers, other.numbers
        return replace(self, numbers={k: a[k] + (b[k] - a[k]) * s for k in a})


def value(known):
    """A known number's best value, written bare or with its origin."""
    return known["value"] if isinstance(known, dict) else known


def vector(point):
    return np.array([value(point[k]) for k in ("x_mm", "y_mm", "z_mm")], float)


def mirrored(point):
    return point * np.array([1.0, -1.0, 1.0])


def pair(members, name):
    """Left and right points by name; a right-hand member that is absent is the mirror image."""
    left = {k: vector(v) for k, v in members[f"{name}left"].items()}
    right = members.get(f"{name}right")
    if right is None:
        return left, {k: mirrored(v) for k, v in left.items()}
    return left, {k: vector(v) for k, v in right.items()}


def bush_rates(bush):
    """N/mm along and N mm/rad about x, y, z."""
    across, along = value(bush["radial_n_per_mm"]), value(bush["axial_n_per_mm"])
    cock, twist = value(bush["conical_nm_per_deg"]), value(bush["torsion_nm_per_deg"])
    own = {"lateral": 1, "longitudinal": 0}[bush["axis"]]
    shift, turn = np.full(3, across), np.full(3, cock * PER_RAD)
    shift[own], turn[own] = along, twist * PER_RAD
    return np.concatenate([shift, turn])


def design(axle):
    """The linkage as it left the factory."""
    (kind, m), = axle["layout"].items()
    links, bushes, bodies = {}, [], 1
    if kind == "radius_arms":
        on_axle, on_chassis = bush_rates(m["axle_bush"]), bush_rates(m["chassis_bush"])
        bodies = 3
        for i, arm in enumerate(pair(m, "")):
            bushes += [(1 + i, 0, arm["axle_far"], on_axle), (1 + i, 0, arm["axle_near"], on_axle),
                       (1 + i, 3, arm["chassis"], on_chassis)]
    elif kind == "leaf_springs":
        bodies = 7
        for i, spring in enumerate(pair(m, "")):
            bushes += leaf(spring, m["rates"], bush_rates(m["eye_bush"]), 1 + 3 * i, chassis=7)
    else:
        links["lower_left"], links["lower_right"] = pair(m, "lower_")
        if kind == "three_link":
            links["upper"] = {k: vector(v) for k, v in m["upper"].items()}
        else:
            links["upper_left"], links["upper_right"] = pair(m, "upper_")
    if axle.get("panhard"):
        links["panhard"] = {k: vector(v) for k, v in axle["panhard"].items()}

    watts = axle.get("watts")
    rigid = kind in ("three_link", "four_link")
    count = len(links) + bool(watts)
    if rigid and count < 4:
        raise ValueError("the members leave the axle free")
    stack = lambda rows, *shape: np.array(rows, float).reshape(-1, *shape)
    numbers = {
        "axle": stack([l["axle"] for l in links.values()], 3),
        "chassis": stack([l["chassis"] for l in links.values()], 3),
        "on_arm": stack([b[2] for b in bushes], 3),
        "on_body": stack([b[2] for b in bushes], 3),
        "rest": np.zeros(len(bushes)),
        "rates": stack([b[3] for b in bushes], 6),
    }
    numbers["length"] = np.linalg.norm(numbers["axle"] - numbers["chassis"], axis=-1)
    if watts:
        numbers["pivot"] = vector(watts["pivot"])
        for key in ("axle", "chassis"):
            numbers[f"crank_{key}"] = stack([vector(watts[s][key]) for s in ("left", "right")], 3)
        numbers["crank_length"] = np.linalg.norm(
            numbers["crank_axle"] - numbers["crank_chassis"], axis=-1)
    return Linkage(bodies, numbers, [b[0] for b in bushes], [b[1] for b in bushes],
                   list(links), rigid and count > 4, watts and watts["crank_on"])


def leaf(spring, rates, eye, first, chassis):
    """Bushes of one spring: SAE HS-788's three-link equivalent, bodies `first` and the two after.

    Each free half is an arc tangent to level at the clamp; the link that stands for it is three
    quarters of its length and pivots at the clamp's own height.
    """
    seat = spring["seat"]
    clamped = value(rates["clamped_mm"]) / 2
    halves = []
    for name in ("fixed_eye", "shackle_eye"):
        at = spring[name]
        toward = math.copysign(1.0, at[0] - seat[0])
        x, z = at[0] - seat[0] - toward * clamped, at[2] - seat[2]
        # Arc through the clamp's edge, tangent to level there: half its angle is the chord's slope.
        chord, half = math.hypot(x, z), math.atan2(abs(z), abs(x))
        length = chord / np.sinc(half / math.pi)
        radius = 0.75 * length
        inner = at[0] - toward * math.sqrt(radius**2 - z**2)
        share = (inner - seat[0]) / (at[0] - seat[0])
        pivot = np.array([inner, seat[1] + (at[1] - seat[1]) * share, seat[2]])
        halves.append((length, radius, pivot, at))
    # A beam on its two eyes, loaded at the seat, gives k = c (a + b) / (a b)^2; either half alone,
    # held at the seat, gives c / l^3.
    a, b = halves[0][0], halves[1][0]
    section = value(rates["vertical_n_per_mm"]) * a**2 * b**2 / (a + b)
    bushes = []
    for i, (length, radius, pivot, at) in enumerate(halves):
        turn = [value(rates["twist_nm_per_deg"]) * PER_RAD, section / length**3 * radius**2,
                value(rates["lateral_n_per_mm"]) / 2 * radius**2]
        bushes.append((first + i, 0, pivot, np.array([PIVOT_RATE] * 3 + turn)))
    bushes += [(first, chassis, spring["fixed_eye"], eye),
               (first + 1, first + 2, spring["shackle_eye"], eye),
               (first + 2, chassis, spring["shackle_chassis"], eye)]
    return bushes


def part_kind(part):
    """What a part is: its form and what it moves, is the length of or turns."""
    (form, p), = part.items()
    return " ".join([form] + [p[key] for key in ("moves", "of", "by") if key in p])


def fit(linkage, parts):
    """The linkage with corrections bolted on, in their order."""
    n = {k: v.copy() for k, v in linkage.numbers.items()}
    row = linkage.names.index
    for part in parts:
        p, = part.values()
        name = part_kind(part)
        hole = vector(p["holes"][p["hole"]]) if "hole" in p else None
        if name == "bracket panhard_axle":
            n["axle"][row("panhard")] += hole
        elif name == "bracket panhard_chassis":
            n["chassis"][row("panhard")] += hole
        elif name == "length panhard":
            n["length"][row("panhard")] += value(p["change_mm"])
        elif name == "bracket arm":
            # Across, a hole counts outboard on both sides.
            for i, shift in enumerate((hole, mirrored(hole))):
                if linkage.names[:1] == ["lower_left"]:
                    n["chassis"][i] += shift
                else:
                    n["on_body"][3 * i + 2] += shift
        elif name == "length upper_link":
            for i, link in enumerate(linkage.names):
                if link.startswith("upper"):
                    n["length"][i] += value(p["change_mm"])
        elif name == "turn caster_bush":
            # With the arms still, an axle free of stress leans its top rearward by the angle,
            # about the middle of its bushes: the seats in the axle turn the other way.
            angle = math.radians(value(p["angle_deg"]))
            for i in (0, 3):
                middle = n["on_body"][i : i + 2].mean(0)
                n["on_body"][i : i + 2] = middle + turned(
                    about(Y, angle), n["on_body"][i : i + 2] - middle)
                n["rest"][i : i + 2] -= angle
        elif name != "length drag_link":
            raise ValueError(f"unknown part {name}")
    return replace(linkage, numbers=n)
