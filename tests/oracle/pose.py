"""Where a solid axle stands when its two wheels are held at given heights.

A second formulation, written from the definitions and not from the engine: each body is a
translation and a quaternion, and all conditions are met at once.

* Links, the Panhard bar and a Watts linkage's two links keep their length (its crank's angle is an
  unknown of its own); the stock wheel centers stand at their travel.
* Where links are more than the axle's freedoms, the sum of their squared misfits is least, both
  links of a Watts linkage among them.
* Arms and leaves are bodies of their own on rubber. Each bush stores
  1/2 (k_r d_r^2 + k_a d_a^2 + k_c |cocking|^2 + k_t twist^2), seen along axes that ride on its arm,
  free of stress in the stock position; the turn is the rotation vector from arm to body. The pose is
  the one of least energy, by Lagrange's multipliers.

Slopes are written out; second slopes are complex steps through them, exact to rounding.
"""

import time

import numpy as np
from scipy.optimize import least_squares, root

from continuation import Lost, follow, newton
from linkage import Y, design, fit, value
from quaternions import (about, conjugate, cross, left_matrix, product, right_matrix,
                         rotation_vector, turned, turned_slope)

# A quaternion's part, or a crank's angle in rad, counts as if by this lever, mm, so that the
# unknowns compare.
LEVER = 1000.0
# Energies of rubber in N mm are divided by this, so that the unknown forces compare with mm.
STIFFNESS = 1000.0
# An assembly is bound where, on its way, something elastic first gives more than this, mm.
TORN = 25.0
# Longest step along the path per body, mm.
STRIDE = 30.0
# Fitting parts counts as a path this long, mm.
FITTING = 60.0
X = np.array([1.0, 0.0, 0.0])


class Unreachable(Exception):
    """No such pose on the assembly the truck was built in."""

    def __init__(self, why, fraction):
        super().__init__(why, fraction)
        self.why, self.fraction = why, fraction


class Problem:
    """Energy and exact conditions of one linkage, with the stock wheel centers `y` from the
    middle. The unknowns: each body's translation and quaternion, then a Watts crank's angle."""

    def __init__(self, linkage, y):
        self.linkage = linkage
        self.count = linkage.bodies
        self.unknowns = 7 * self.count + bool(linkage.crank_on)
        y = np.asarray(y)[..., None, None]
        self.wheels = y * np.array([[0.0, 1.0, 0.0], [0.0, -1.0, 0.0]])
        self.elastic = linkage.elastic or bool(linkage.arm)
        rods = len(linkage.names) + (2 if linkage.crank_on else 0)
        self.soft, self.hard = list(range(rods)), []
        if not linkage.elastic:
            self.soft, self.hard = self.hard, self.soft
        self.conditions = self.count + 2 + len(self.hard)
        # Where the axle's unknowns stand, the crank's with them, and those of each bush's two
        # bodies; the chassis's lie past the end.
        self.own = list(range(7)) + ([7 * self.count] if linkage.crank_on else [])
        body = lambda i: np.arange(7) + (7 * i if i < self.count else self.unknowns)
        self.ends = np.array([np.append(body(a), body(b))
                              for a, b in zip(linkage.arm, linkage.body)], int).reshape(-1, 14)

    def home(self):
        x = np.zeros(self.unknowns)
        x[3 : 7 * self.count : 7] = LEVER
        return np.append(x, np.zeros(self.conditions if self.elastic else 0))

    def bodies(self, x):
        """Translation and quaternion of each body."""
        b = x[..., : 7 * self.count].reshape(*x.shape[:-1], self.count, 7)
        return b[..., :3], b[..., 3:] / LEVER

    def wheel_heights(self, own):
        """Height of both stock wheel centers over their stock place, and the slopes."""
        s, q = own[..., None, :3], own[..., None, 3:7] / LEVER
        height = (s + turned(q, self.wheels))[..., 2]
        slope = np.zeros((*height.shape, len(self.own)), own.dtype)
        slope[..., 2] = 1.0
        slope[..., 3:7] = turned_slope(q, self.wheels + 0 * s)[..., 2, :] / LEVER
        return height, slope

    def misfits(self, own):
        """How much longer than its length every link would have to be, and the slopes: links in
        order, then a Watts linkage's left and right one."""
        n = self.linkage.numbers
        s, q = own[..., None, :3], own[..., None, 3:7] / LEVER
        on_axle, on_chassis, length = n["axle"], n["chassis"], n["length"]
        crank = self.linkage.crank_on
        if crank:
            key = f"crank_{crank}"
            lever = turned(about(X, own[..., 7:] / LEVER), n[key] - n["pivot"])
            ends = {"crank_axle": n["crank_axle"] + 0 * lever,
                    "crank_chassis": n["crank_chassis"] + 0 * lever, key: n["pivot"] + lever}
            wide = lambda v: np.broadcast_to(v, (*lever.shape[:-2], *v.shape[-2:]))
            on_axle = np.concatenate([wide(on_axle), ends["crank_axle"]], -2)
            on_chassis = np.concatenate([wide(on_chassis), ends["crank_chassis"]], -2)
            length = np.concatenate([length, n["crank_length"]], -1)
        d = s + turned(q, on_axle) - on_chassis
        long = np.sqrt((d * d).sum(-1))
        u = d / long[..., None]
        slope = np.zeros((*long.shape, len(self.own)), u.dtype)
        slope[..., :3] = u
        slope[..., 3:7] = (u[..., None, :] @ turned_slope(q, on_axle + 0 * s))[..., 0, :] / LEVER
        if crank:
            # The crank's ends per rad of its turn about x.
            swing = cross(X + 0 * lever, lever)
            moved = turned(q, swing) if crank == "axle" else -swing
            slope[..., -2:, 7] = (u[..., -2:, :] * moved).sum(-1) / LEVER
        return long - length, slope

    def strains(self, ends):
        """Strains of all bushes and their slopes, by the unknowns of their two bodies."""
        n = self.linkage.numbers
        s_arm, q_arm = ends[..., :3], ends[..., 3:7] / LEVER
        s_body, q_body = ends[..., 7:10], ends[..., 10:] / LEVER
        gap = s_body + turned(q_body, n["on_body"]) - s_arm - turned(q_arm, n["on_arm"])
        back = conjugate(q_arm)
        flip = np.array([1.0, -1.0, -1.0, -1.0])
        turn = np.stack([turned(back, e + 0 * gap) for e in np.eye(3)], -1)
        rest = about(Y, -n["rest"])
        seat = product(q_body, rest)
        vector, by_q = rotation_vector(product(back, seat))
        slope = np.zeros((*vector.shape[:-1], 6, 14), vector.dtype)
        slope[..., :3, :3] = -turn
        slope[..., :3, 3:7] = (turned_slope(back, gap) * flip
                               - turn @ turned_slope(q_arm, n["on_arm"] + 0 * gap)) / LEVER
        slope[..., 3:, 3:7] = by_q @ right_matrix(seat) * flip / LEVER
        slope[..., :3, 7:10] = turn
        slope[..., :3, 10:] = turn @ turned_slope(q_body, n["on_body"] + 0 * gap) / LEVER
        slope[..., 3:, 10:] = by_q @ left_matrix(back) @ right_matrix(rest) / LEVER
        return np.concatenate([turned(back, gap), vector], -1), slope

    def pulls(self, ends):
        """Slope of each bush's energy by the unknowns of its two bodies."""
        strain, slope = self.strains(ends)
        force = strain * (self.linkage.numbers["rates"] / STIFFNESS)
        return (force[..., None, :] @ slope)[..., 0, :]

    def bush_ends(self, x):
        """The unknowns of each bush's two bodies."""
        return np.append(x, [0, 0, 0, LEVER, 0, 0, 0])[self.ends]

    def exact(self, x, travel):
        """The exact conditions and their slopes: norms, wheels, links."""
        _, q = self.bodies(x)
        first = self.count
        miss = np.zeros((*x.shape[:-1], self.conditions), x.dtype)
        slope = np.zeros((*miss.shape, self.unknowns), x.dtype)
        miss[..., :first] = ((q * q).sum(-1) - 1) * LEVER / 2
        for i in range(first):
            slope[..., i, 7 * i + 3 : 7 * i + 7] = q[..., i, :]
        own = x[..., self.own]
        height, by_own = self.wheel_heights(own)
        miss[..., first : first + 2] = height - travel
        slope[..., first : first + 2, self.own] = by_own
        long, by_own = self.misfits(own)
        miss[..., first + 2 :] = long[..., self.hard]
        slope[..., first + 2 :, self.own] = by_own[..., self.hard, :]
        return miss, slope

    def lagrange_own(self, own, force):
        """Slope, by the axle's own unknowns, of what links store and of the exact conditions that
        bear on it, with their forces."""
        long, slope = self.misfits(own)
        _, by_wheel = self.wheel_heights(own)
        return ((long[..., self.soft, None] * slope[..., self.soft, :]).sum(-2)
                + force[:2] @ by_wheel + force[2:] @ slope[..., self.hard, :])

    def system(self, z, travel):
        """What vanishes at the pose, and its Jacobian: for rigid links their conditions, else the
        slope of the Lagrangian and the conditions."""
        if not self.elastic:
            return self.exact(z, travel)
        n, h = self.unknowns, 1e-30
        x, force = z[:n], z[n:]
        exact, by_exact = self.exact(x, travel)
        pull, curve = np.zeros(n + 7), np.zeros((n + 7, n + 7))
        own = self.lagrange_own(x[self.own] + 1j * h * np.eye(len(self.own)), force[self.count :])
        pull[self.own] = own[0].real
        curve[np.ix_(self.own, self.own)] = own.imag / h
        for i in range(self.count):
            at = np.arange(7 * i + 3, 7 * i + 7)
            pull[at] += force[i] * x[at] / LEVER
            curve[at, at] += force[i] / LEVER
        if len(self.ends):
            steps = self.bush_ends(x) + 1j * h * np.eye(14)[:, None, :]
            pulls = self.pulls(steps)
            np.add.at(pull, self.ends, pulls[0].real)
            np.add.at(curve, (self.ends[:, None, :], self.ends[:, :, None]),
                      np.swapaxes(pulls.imag, 0, 1) / h)
        return (np.append(pull[:n], exact),
                np.block([[curve[:n, :n], by_exact.T],
                          [by_exact, np.zeros((self.conditions,) * 2)]]))

    def value(self, z):
        """What vanishes at the pose, wheels at stock height, where numbers may be complex."""
        n = self.unknowns
        exact, by_exact = self.exact(z[:n], 0.0)
        if not self.elastic:
            return exact
        pull = np.zeros(n + 7, complex)
        pull[:n] = z[n:] @ by_exact
        long, slope = self.misfits(z[self.own])
        pull[self.own] += long[self.soft] @ slope[self.soft]
        if len(self.ends):
            np.add.at(pull, self.ends, self.pulls(self.bush_ends(z[:n])))
        return np.append(pull[:n], exact)

    def wheel_rows(self):
        """Where the two travels stand among the equations."""
        first = self.count + (self.unknowns if self.elastic else 0)
        return [first, first + 1]

    def by_travel(self, z, travel):
        """How the solution moves per mm of left and of right travel."""
        _, slope = self.system(z, travel)
        push = np.zeros((len(z), 2))
        push[self.wheel_rows(), [0, 1]] = 1.0
        return np.linalg.solve(slope, push).T

    def holding(self, z):
        """Upward forces at the wheel centers that hold the pose, in N on rubber."""
        first = self.unknowns + self.count
        return -z[first : first + 2] * STIFFNESS

    def binding(self, z):
        """The most that anything elastic gives, mm."""
        x = z[: self.unknowns]
        given = np.abs(self.misfits(x[self.own])[0][self.soft])
        if len(self.ends):
            shift = self.strains(self.bush_ends(x))[0][:, :3]
            given = np.append(given, np.linalg.norm(shift, axis=-1))
        return given.max(initial=0.0)

    def least(self, z, travel):
        """True when the energy curves upward every way that the conditions leave free."""
        if not self.elastic:
            return True
        n = self.unknowns
        whole = self.system(z, travel)[1]
        free = np.linalg.svd(whole[n:, :n])[2][self.conditions :].T
        if free.size == 0:
            return True
        return bool(np.linalg.eigvalsh(free.T @ whole[:n, :n] @ free).min() > 0)


def settled(problem, z, travel):
    """The pose by SciPy from a start near by, polished until steps are rounding; and its time."""
    before = time.perf_counter()
    if problem.elastic:
        z = root(problem.system, z, args=(travel,), jac=True, method="hybr", tol=1e-10).x
    else:
        z = least_squares(lambda z: problem.system(z, travel)[0], z, method="lm", xtol=1e-14,
                          ftol=1e-14, gtol=1e-14, jac=lambda z: problem.system(z, travel)[1]).x
    spent = time.perf_counter() - before
    last = np.inf
    for _ in range(8):
        f, slope = problem.system(z, travel)
        step = np.linalg.solve(slope, -f)
        size = np.abs(step[: problem.unknowns]).max()
        if size >= last and size < 1e-7:
            break
        z, last = z + step, size
    if last > 1e-7:
        raise Lost(f"did not settle: last step {last:.2e}")
    return z, spent


class Solution:
    """A pose and what it took."""

    def __init__(self, problem, z, travel, spent):
        self.problem, self.z, self.travel, self.spent = problem, z, travel, spent

    def axle(self):
        s, q = self.problem.bodies(self.z[: self.problem.unknowns])
        return s[0], q[0]


def wheel_y(axle):
    """Stock wheel center from the centerline, mm."""
    return value(axle["hub_face_width_mm"]) / 2 - value(axle["stock"]["wheel"]["offset_mm"])


def solve(axle, parts, travel):
    """The pose at `travel`, followed from the stock position: parts first, then the wheels."""
    return Assembly(axle, parts).solve(travel)


class Assembly:
    """An axle with parts fitted, its wheels still at stock height."""

    def __init__(self, axle, parts):
        stock = design(axle)
        fitted = fit(stock, parts)
        y = wheel_y(axle)
        self.problem = Problem(fitted, y)
        self.start = self.problem.home()
        if any((stock.numbers[k] != fitted.numbers[k]).any() for k in stock.numbers):
            h = 1e-30

            def fitting(z, t):
                at = Problem(stock.between(fitted, t), y)
                by_t = Problem(stock.between(fitted, t + 1j * h), y).value(z + 0j)
                return (*at.system(z, np.zeros(2)), by_t.imag / h)

            end = self.follow(fitting, FITTING)
            if end.fraction < 1:
                raise Unreachable("out_of_reach", 0.0)
            self.start = end.z

    def follow(self, system, span):
        weights = np.zeros_like(self.start)
        weights[: self.problem.unknowns] = 1.0
        return follow(system, self.start, span, weights, STRIDE * self.problem.count**0.5)

    def solve(self, travel):
        problem, travel = self.problem, np.asarray(travel, float)
        by_t = np.zeros_like(self.start)
        by_t[problem.wheel_rows()] = -travel
        moving = lambda z, t: (*problem.system(z, travel * t), by_t)
        end = self.follow(moving, np.abs(travel).max())
        if any(problem.binding(z) > TORN for _, z in end.points):
            raise Unreachable("binds", first_torn(problem, end.points, travel))
        if end.fraction < 1:
            raise Unreachable("out_of_reach", end.fraction)
        # From the last point but one, as from a slider's last place.
        near = end.points[-2][1] if len(end.points) > 1 else end.z
        z, spent = settled(problem, near, travel)
        if np.abs(z - end.z)[: problem.unknowns].max() > 1e-5:
            z, spent = settled(problem, end.z, travel)
        if not problem.least(z, travel):
            raise Unreachable("unsteady", 1.0)
        return Solution(problem, z, travel, spent)


def first_torn(problem, points, travel):
    """The share of the path at which something first gives more than it can."""
    for (t0, z0), (t1, z1) in zip(points, points[1:]):
        if problem.binding(z1) > TORN:
            break
    while t1 - t0 > 1e-7:
        t = (t0 + t1) / 2
        z, *_ = newton(lambda z: problem.system(z, travel * t), z0 + (z1 - z0) * 0.5,
                      count=slice(problem.unknowns))
        if z is None:
            raise Lost("lost on the way back")
        if problem.binding(z) > TORN:
            t1, z1 = t, z
        else:
            t0, z0 = t, z
    return t0
