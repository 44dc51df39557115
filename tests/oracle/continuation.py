"""Follows the solution of F(z, t) = 0 from t = 0 to t = 1 by arc length, so that the place where it
turns back - the end of what the linkage can reach - is found and not guessed (Allgower and Georg,
Introduction to Numerical Continuation Methods, ch. 2-6).
"""

import numpy as np

# Newton steps are small enough when under this, in the unknowns' own scale (mm): at an answer, and
# on the way.
SETTLED = 1e-9
ON_THE_WAY = 1e-6
# Least cosine between the directions of two neighboring points.
STRAIGHT = 0.985
# Furthest a point may lie from where the direction led, as a share of the step: beside a sharp bend
# there may be another path that runs the same way.
ASIDE = 0.15
# Steps shorter than this, mm, are given up.
SHORTEST = 1e-7


class Lost(ArithmeticError):
    """The path could not be followed: a fault of the method, never an answer."""


class End:
    """Where the path leads: `fraction` 1, or the largest t before it turns back."""

    def __init__(self, fraction, z, points):
        self.fraction, self.z, self.points = fraction, z, points


def follow(system, z, span, weights, longest):
    """`system(z, t)` gives F, its slope by z and its slope by t. `span` is the length of the path
    in mm, `weights` the share of each unknown in the arc length, `longest` the longest step."""
    points = [(0.0, z)]
    if span == 0.0:
        return End(1.0, z, points)
    metric = np.append(weights, span**2)
    _, by_z, by_t = system(z, 0.0)
    ahead = np.append(np.zeros_like(z), metric[-1])
    here = Point(z, 0.0, metric, np.block([[by_z, by_t[:, None]], [ahead]]))
    step = longest / 4
    while True:
        # The path's own length counts too, so that no step takes more travel than this either.
        step = min(step, longest)
        there, rounds = correct(system, here, step, metric)
        if there is None:
            step /= 2
            if step < SHORTEST:
                raise Lost(f"stuck at {here.t:.6f}")
            continue
        if there.direction[-1] <= 0:
            top = turning(system, here, step, metric)
            if top.t < 1:
                points.append((top.t, top.z))
                return End(top.t, top.z, points)
            there = top
        if there.t >= 1:
            share = (1 - here.t) / (there.t - here.t)
            between = here.z + (there.z - here.z) * share
            z, *_ = newton(lambda z: system(z, 1.0)[:2], between, count=weights > 0)
            if z is None or weights @ (z - between) ** 2 > (ASIDE * step) ** 2:
                step /= 2
                if step < SHORTEST:
                    raise Lost("no solution at the end of the path")
                continue
            points.append((1.0, z))
            return End(1.0, z, points)
        here = there
        points.append((here.t, here.z))
        if rounds <= 3:
            step *= 2


class Point:
    """A point of the path and the direction in which it goes on: `square` is the slope of F by z and
    t, and below it the direction before."""

    def __init__(self, z, t, metric, square):
        along = np.zeros(len(square))
        along[-1] = 1.0
        direction = np.linalg.solve(square, along)
        self.z, self.t = z, t
        self.direction = direction / np.sqrt(metric @ direction**2)


def correct(system, here, step, metric, most=6):
    """The point a step further along, and how many rounds it took; None where it went astray."""
    along = metric * here.direction

    def square(y):
        f, by_z, by_t = system(y[:-1], y[-1])
        gone = along @ (y - start) - step
        return np.append(f, gone), np.block([[by_z, by_t[:, None]], [along]])

    start = np.append(here.z, here.t)
    led = start + step * here.direction
    y, rounds, slope = newton(square, led, most, ON_THE_WAY, metric > 0)
    if y is None or metric @ (y - led) ** 2 > (ASIDE * step) ** 2:
        return None, rounds
    # The last round started so near that its slope will do.
    there = Point(y[:-1], y[-1], metric, slope)
    if metric @ (here.direction * there.direction) < STRAIGHT:
        return None, rounds
    return there, rounds


def turning(system, here, step, metric):
    """Where t is largest, between `here`, before it, and a step on, behind it."""
    there, _ = correct(system, here, step, metric)
    low, high = (0.0, here), (step, there)
    short = 1.0
    for round in range(60):
        up, down = low[1].direction[-1], high[1].direction[-1]
        # What t may still gain.
        if up * (high[0] - low[0]) < 1e-9:
            break
        # The secant, and every third time the middle.
        share = short * (0.5 if round % 3 == 2 else up / (up - down))
        at = low[0] + (high[0] - low[0]) * share
        there, _ = correct(system, here, at, metric, most=20)
        if there is None:
            # Where conditions turn against each other the forces have no bound, and the very spot
            # is out of reach: stop a little short of it.
            short *= 0.8
            continue
        if there.direction[-1] > 0:
            low = (at, there)
        else:
            high = (at, there)
    if low[1].direction[-1] * (high[0] - low[0]) > 1e-5:
        raise Lost("no turning point")
    return low[1]


def newton(system, z, most=12, settled=SETTLED, count=slice(None)):
    """Newton's method: the solution or None, the steps it took and the last slope. `count` says which
    unknowns must settle: the forces that hold a linkage near its end grow past all bounds."""
    for rounds in range(1, most + 1):
        f, slope = system(z)
        try:
            step = np.linalg.solve(slope, -f)
        except np.linalg.LinAlgError:
            break
        z = z + step
        size = np.abs(step[count]).max()
        if not size < 1e6:
            break
        if size < settled:
            return z, rounds, slope
    return None, rounds, slope
