"""The steering linkage of one axle, solved in space at a given pose of the axle.

Unknowns are the turns of both knuckles about their own axes and of the pitman arm, in rad. Written
with quaternions, for real and complex numbers alike.
"""

import math

import numpy as np

from continuation import follow
from linkage import mirrored, part_kind, value, vector
from quaternions import about, turned

# A turn counts by this lever, mm: about that of a steering arm.
LEVER = 200.0
SIDES = (1.0, -1.0)


def kingpins(axle):
    """Left and right steering axis: a point at hub height and the direction upward."""
    k = axle["kingpin"]
    lean = math.tan(math.radians(value(k["caster_deg"])))
    inward = math.tan(math.radians(value(k["inclination_deg"])))
    y = value(axle["hub_face_width_mm"]) / 2 - value(k["hub_offset_mm"])
    return [(np.array([value(k["hub_trail_mm"]), side * y, 0.0]),
             np.array([-lean, -side * inward, 1.0])) for side in SIDES]


def unit(v):
    return v / np.sqrt((v * v).sum(-1, keepdims=True))


def swung(kingpin, point, angle):
    """A point of a knuckle when the knuckle has turned by `angle`."""
    at, axis = kingpin
    return at + turned(about(unit(axis), angle), point - at)


def heading(kingpin, q, angle):
    """Which way a road wheel heads, seen from above: rad, left positive."""
    left = turned(q, turned(about(unit(kingpin[1]), angle), np.array([0.0, 1.0, 0.0])))
    return np.arctan(-left[..., 0] / left[..., 1])


class Gear:
    """The linkage of one state."""

    def __init__(self, axle, parts):
        given = axle["steering"]
        self.kingpins = kingpins(axle)
        self.ratio = value(given["ratio"])
        self.pivot, self.end = (vector(given["pitman"][k]) for k in ("pivot", "end"))
        self.shaft = {"upright": np.array([0.0, 0.0, 1.0]), "across": np.array([0.0, 1.0, 0.0])}[
            given["pitman"]["shaft"]]
        self.joins = given["drag_link"]["joins"]
        left = vector(given["tie_rod"]["left"])
        right = given["tie_rod"].get("right")
        self.balls = [left, vector(right) if right else mirrored(left)]
        self.joint = vector(given["drag_link"]["end"])
        self.rod = np.linalg.norm(self.balls[1] - self.balls[0])
        self.drag = np.linalg.norm(self.joint - self.end)
        self.change = sum(value(p["length"]["change_mm"])
                          for p in parts if part_kind(p) == "length drag_link")
        along, up, across = frame(*self.balls)
        offset = self.joint - self.balls[0]
        self.share = offset @ along / self.rod
        self.beside = [offset @ up, offset @ across]

    def places(self, u, s, q):
        """Tie rod balls and drag link joint on the axle, then pitman arm's end in the chassis."""
        left, right, swing = (u[..., i] for i in range(3))
        balls = [swung(k, b, a) for k, b, a in zip(self.kingpins, self.balls, (left, right))]
        if self.joins == "tie_rod":
            _, up, across = frame(*balls)
            joint = (balls[0] + (balls[1] - balls[0]) * self.share
                     + up * self.beside[0] + across * self.beside[1])
        else:
            side = ("left_knuckle", "right_knuckle").index(self.joins)
            joint = swung(self.kingpins[side], self.joint, (left, right)[side])
        pitman = self.pivot + turned(about(self.shaft, swing), self.end - self.pivot)
        return balls, s + turned(q, joint), pitman

    def misses(self, u, s, q, change, drive):
        """By how much rod, drag link and what is asked of the drive are missed."""
        balls, joint, pitman = self.places(u, s, q)
        rod = distance(*balls) - self.rod
        drag = distance(joint, pitman) - self.drag - change
        kind, want = drive
        if kind == "mean":
            asked = (u[..., 0] + u[..., 1]) / 2 - want
        elif kind == "pitman":
            asked = u[..., 2] - want
        else:
            asked = sum(heading(k, q, u[..., i]) for i, k in enumerate(self.kingpins)) / 2
        return np.stack([rod, drag, LEVER * asked], -1)

    def slopes(self, u, *rest):
        """Misses and their slope by the turns."""
        h = 1e-30
        miss = self.misses(u + 1j * h * np.eye(3), *rest)
        return miss[0].real, miss.imag.T / h

    def solve(self, s, q, drive):
        """The turns at a pose, on the assembly that leads there from stock; None if there are
        none."""
        kind, want = drive
        h = 1e-30
        home = np.array([1.0, 0.0, 0.0, 0.0])

        def at(t):
            turn = home + (q - home) * t
            return s * t, unit(turn), self.change * t, (kind, None if want is None else want * t)

        def system(z, t):
            miss, slope = self.slopes(z / LEVER, *at(t))
            by_t = self.misses(z / LEVER, *at(t + 1j * h)).imag / h
            return miss, slope / LEVER, by_t

        end = follow(system, np.zeros(3), 100.0, np.ones(3), 60.0)
        return end.z / LEVER if end.fraction == 1 else None

    def carried(self, u, s, q, ds, dq, drive):
        """How fast the turns change as the axle moves by `ds`, `dq`, the drive held."""
        h = 1e-30
        _, slope = self.slopes(u, s, q, self.change, drive)
        miss = self.misses(u, s + 1j * h * ds, q + 1j * h * dq, self.change, drive).imag / h
        return np.linalg.solve(slope, -miss)

    def sense(self):
        """+1 where turning the pitman arm positively steers left from stock, else -1."""
        s, q = np.zeros(3), np.array([1.0, 0.0, 0.0, 0.0])
        _, slope = self.slopes(np.zeros(3), s, q, 0.0, ("pitman", 0.0))
        turns = np.linalg.solve(slope, [0.0, 0.0, LEVER])
        return math.copysign(1.0, turns[0] + turns[1])


def distance(a, b):
    return np.sqrt(((a - b) ** 2).sum(-1))


def frame(left, right):
    """Along the rod to the right, up across it, and square to both."""
    along = unit(right - left)
    up = np.array([0.0, 0.0, 1.0])
    up = unit(up - (along * up).sum(-1, keepdims=True) * along)
    return along, up, np.cross(along, up)
