"""Where a solid axle stands when its two wheels are held at given heights.

A second formulation, written from the definitions and not from the engine: each body is a
translation and a quaternion, and all conditions are met at once by Lagrange multipliers.

* Rigid links and the Panhard bar keep their length; the stock wheel centres stand at their travel.
* Four links and a bar are one too many: all five give alike, and the sum of their squared misfits
  is least.
* Radius arms are bodies of their own on rubber. Each bush stores
  1/2 (k_r d_r^2 + k_a d_a^2 + k_c |cocking|^2 + k_t twist^2), seen along axes that ride on the arm,
  free of stress in the stock position; the turn is the rotation vector from arm to body.

Functions take any number of leading axes, so that many points are worked out at once. Derivatives
are complex steps (Squire and Trapp, SIAM Review 40 (1998) 110): exact to rounding.
"""

import math

import numpy as np
from scipy.optimize import root

# A quaternion part counts as if by this lever, mm, so that the unknowns compare.
LEVER = 1000.0
# Energies in N mm are divided by this, so that residuals read about as mm.
STIFFNESS = 1000.0
# Longest stretch of travel taken at once, mm, and steps in which parts are fitted.
STRIDE = 20.0
PART_STEPS = 6


# Quaternions, (w, x, y, z), of unit length by condition.


def cross(u, v):
    x, y, z = np.moveaxis(u, -1, 0)
    a, b, c = np.moveaxis(v, -1, 0)
    return np.stack([y * c - z * b, z * a - x * c, x * b - y * a], -1)


def product(p, q):
    a, u = p[..., :1], p[..., 1:]
    b, v = q[..., :1], q[..., 1:]
    scalar = a * b - (u * v).sum(-1, keepdims=True)
    return np.concatenate([scalar, a * v + b * u + cross(u, v)], -1)


def conjugate(q):
    return q * np.array([1.0, -1.0, -1.0, -1.0])


def turned(q, v):
    v = np.concatenate([np.zeros_like(v[..., :1]), v], -1)
    return product(product(q, v), conjugate(q))[..., 1:]


def about_y(angle):
    half = np.asarray(angle)[..., None] / 2
    return np.concatenate([np.cos(half), 0 * half, np.sin(half), 0 * half], -1)


def rotation_vector(q):
    """Axis times angle; right for turns under half a revolution."""
    w, v = q[..., :1], q[..., 1:]
    s2 = (v * v).sum(-1, keepdims=True)
    small = np.abs(s2) < 1e-6
    s = np.sqrt(np.where(small, 1.0, s2))
    u2 = s2 / w**2
    series = 2 / w * (1 - u2 / 3 + u2**2 / 5 - u2**3 / 7)
    return v * np.where(small, series, 2 * np.arctan(s / w) / s)


# The axle as numbers.


def value(known):
    """A known number's best value, written bare or with its origin."""
    return known["value"] if isinstance(known, dict) else known


def vector(point):
    return np.array([value(point["x_mm"]), value(point["y_mm"]), value(point["z_mm"])])


def mirrored(point):
    return point * np.array([1.0, -1.0, 1.0])


def link(bar):
    a, c = vector(bar["axle"]), vector(bar["chassis"])
    return {"axle": a, "chassis": c, "length": np.linalg.norm(c - a)}


def mirror_link(left):
    return {"axle": mirrored(left["axle"]), "chassis": mirrored(left["chassis"]),
            "length": left["length"]}


def bush_rates(bush):
    """N/mm along and N mm/rad about x, y, z of the arm."""
    per_rad = 1000.0 * 180.0 / math.pi
    across, along = value(bush["radial_n_per_mm"]), value(bush["axial_n_per_mm"])
    cock = value(bush["conical_nm_per_deg"]) * per_rad
    twist = value(bush["torsion_nm_per_deg"]) * per_rad
    own = {"lateral": 1, "longitudinal": 0}[bush["axis"]]
    shift, turn = np.full(3, across), np.full(3, cock)
    shift[own], turn[own] = along, twist
    return np.concatenate([shift, turn])


def design(axle):
    """The linkage as it left the factory."""
    (kind, m), = axle["layout"].items()
    linkage = {"panhard": link(axle["panhard"])}
    if kind == "radius_arms":
        on_axle, on_chassis = bush_rates(m["axle_bush"]), bush_rates(m["chassis_bush"])
        flip = {k: {c: -v if c == "y_mm" else v for c, v in
                    ((c, value(v)) for c, v in m["left"][k].items())} for k in m["left"]}
        linkage["arms"] = [
            [{"arm": vector(arm[name]), "body": vector(arm[name]), "rest": np.array(0.0),
              "rates": rates} for name, rates in
             (("axle_far", on_axle), ("axle_near", on_axle), ("chassis", on_chassis))]
            for arm in (m["left"], m.get("right") or flip)]
        return linkage
    names = ["lower"] if kind == "three_link" else ["lower", "upper"]
    links = []
    for name in names:
        left = link(m[f"{name}_left"])
        given = m.get(f"{name}_right")
        links += [left, link(given) if given else mirror_link(left)]
    if kind == "three_link":
        links.append(link(m["upper"]))
    linkage["links"] = links
    return linkage


def copied(linkage):
    """A copy deep enough to fit parts to."""
    if isinstance(linkage, dict):
        return {k: copied(v) for k, v in linkage.items()}
    if isinstance(linkage, list):
        return [copied(v) for v in linkage]
    return np.array(linkage)


def fit(linkage, parts):
    """The linkage with corrections bolted on, in their order."""
    linkage = copied(linkage)
    for part in parts:
        (name, p), = part.items()
        hole = vector(p["holes"][p["hole"]]) if "hole" in p else None
        if name == "panhard_axle_bracket":
            linkage["panhard"]["axle"] += hole
        elif name == "panhard_chassis_bracket":
            linkage["panhard"]["chassis"] += hole
        elif name == "panhard_length":
            linkage["panhard"]["length"] += value(p["change_mm"])
        elif name == "arm_bracket":
            # Across, a hole counts outboard on both sides.
            for i, shift in enumerate((hole, mirrored(hole))):
                if "arms" in linkage:
                    linkage["arms"][i][2]["body"] += shift
                else:
                    linkage["links"][i]["chassis"] += shift
        elif name == "upper_link_length":
            for upper in linkage["links"][2:]:
                upper["length"] += value(p["change_mm"])
        elif name == "caster_bush":
            # With the arms still, an axle free of stress leans its top rearward by the angle,
            # about the middle of its bushes: the seats in the axle turn the other way.
            angle = math.radians(value(p["angle_deg"]))
            for arm in linkage["arms"]:
                middle = (arm[0]["body"] + arm[1]["body"]) / 2
                for bush in arm[:2]:
                    bush["body"] = middle + turned(about_y(angle), bush["body"] - middle)
                    bush["rest"] = bush["rest"] - angle
        else:
            raise ValueError(f"unknown part {name}")
    return linkage


def between(a, b, s):
    """A linkage the share `s` of the way from `a` to `b`."""
    if isinstance(a, dict):
        return {k: between(a[k], b[k], s) for k in a}
    if isinstance(a, list):
        return [between(x, y, s) for x, y in zip(a, b)]
    return a + (b - a) * s


def wheel_y(axle):
    """Stock wheel centre from the centreline, mm."""
    return value(axle["hub_face_width_mm"]) / 2 - value(axle["stock"]["wheel"]["offset_mm"])


# The conditions.


class Problem:
    """Energy and exact conditions of one linkage with its wheels held."""

    def __init__(self, linkage, stock_wheel_y, travel):
        self.linkage = linkage
        self.travel = travel
        self.arms = linkage.get("arms")
        self.bodies = 3 if self.arms else 1
        self.unknowns = 7 * self.bodies
        y = np.asarray(stock_wheel_y)
        self.wheels = [np.stack([0 * y, side * y, 0 * y], -1) for side in (1.0, -1.0)]

    def home(self):
        x = np.zeros((self.bodies, 7))
        x[:, 3] = LEVER
        return x.ravel()

    def pose(self, x):
        """Translation and quaternion of each body."""
        x = x.reshape(*x.shape[:-1], self.bodies, 7)
        return [(x[..., i, :3], x[..., i, 3:] / LEVER) for i in range(self.bodies)]

    def split(self, x):
        """Elastic residuals (half their squares' sum is the energy) and exact conditions."""
        bodies = self.pose(x)
        shift, quaternion = axle = bodies[0]
        exact = [((q * q).sum(-1) - 1) * LEVER / 2 for _, q in bodies]
        for wheel, travel in zip(self.wheels, self.travel):
            exact.append(shift[..., 2] + turned(quaternion, wheel + 0 * shift)[..., 2] - travel)
        soft = []
        stretch = lambda l: misfit(l, axle)
        if self.arms:
            exact.append(stretch(self.linkage["panhard"]))
            ground = (0 * shift, conjugate(quaternion * 0) + np.array([1.0, 0, 0, 0]))
            for arm, body in zip(self.arms, bodies[1:]):
                for bush, other in zip(arm, (axle, axle, ground)):
                    soft.append(strain(bush, body, other))
            soft = np.concatenate(soft, -1)
        else:
            all_links = [stretch(l) for l in self.linkage["links"] + [self.linkage["panhard"]]]
            if len(all_links) == 5:
                soft = np.stack(all_links, -1)
            else:
                exact += all_links
                soft = np.zeros((*x.shape[:-1], 0), x.dtype)
        return soft, np.stack(exact, -1)

    def slopes(self, x):
        """Residuals, conditions and their Jacobians."""
        h = 1e-30
        steps = x[..., None, :] + 1j * h * np.eye(self.unknowns)
        soft, exact = self.split(steps)
        return (soft.real[..., 0, :], exact.real[..., 0, :],
                np.swapaxes(soft.imag, -1, -2) / h, np.swapaxes(exact.imag, -1, -2) / h)

    def stationary(self, z):
        """What vanishes at the pose: slope of the Lagrangian, and the conditions."""
        x, force = z[..., : self.unknowns], z[..., self.unknowns :]
        soft, exact, j_soft, j_exact = self.slopes(x)
        slope = (np.einsum("...ij,...i->...j", j_soft, soft)
                 + np.einsum("...ij,...i->...j", j_exact, force))
        return np.concatenate([slope, exact], -1)

    def curvature(self, z):
        """Jacobian of `stationary`, by central differences of exact slopes."""
        h = 1e-4
        steps = h * np.eye(z.size)
        return ((self.stationary(z + steps) - self.stationary(z - steps)) / (2 * h)).T


def misfit(link, axle):
    """How much longer than its length a link would have to be, mm."""
    shift, quaternion = axle
    d = shift + turned(quaternion, link["axle"] + 0 * shift) - link["chassis"]
    return np.sqrt((d * d).sum(-1)) - link["length"]


def strain(bush, arm, body):
    """A bush's six strains, each times the root of its rate."""
    (s_arm, q_arm), (s_body, q_body) = arm, body
    gap = (s_body + turned(q_body, bush["body"] + 0 * s_body)
           - s_arm - turned(q_arm, bush["arm"] + 0 * s_arm))
    shift = turned(conjugate(q_arm), gap)
    relative = product(product(conjugate(q_arm), q_body), about_y(-bush["rest"]) + 0 * q_body)
    strains = np.concatenate([shift, rotation_vector(relative)], -1)
    return strains * np.sqrt(bush["rates"] / STIFFNESS)


# The solution.


def settle(problem, z):
    """Meets all conditions from a start near by; polished until steps are rounding."""
    z = root(problem.stationary, z, jac=problem.curvature, method="hybr", tol=1e-10).x
    for _ in range(6):
        step = np.linalg.solve(problem.curvature(z), -problem.stationary(z))
        z = z + step
        if np.abs(step[: problem.unknowns]).max() < 1e-10:
            return z
    raise ArithmeticError(f"did not settle: last step {np.abs(step).max():.2e}")


def least(problem, z):
    """True when the energy curves upward every way that the conditions leave free."""
    x = z[: problem.unknowns]
    conditions = problem.slopes(x)[3]
    free = np.linalg.svd(conditions)[2][conditions.shape[0] :].T
    if free.size == 0:
        return True
    h = problem.curvature(z)[: problem.unknowns, : problem.unknowns]
    return bool(np.linalg.eigvalsh(free.T @ h @ free).min() > 0)


def solve(axle, parts, travel):
    """The pose at `travel`, followed from the stock position: parts first, then the wheels."""
    stock = design(axle)
    fitted = fit(stock, parts)
    y = wheel_y(axle)
    problem = Problem(stock, y, (0.0, 0.0))
    z = np.concatenate([problem.home(), np.zeros(problem.split(problem.home())[1].size)])
    if parts:
        for i in range(1, PART_STEPS + 1):
            problem = Problem(between(stock, fitted, i / PART_STEPS), y, (0.0, 0.0))
            z = settle(problem, z)
    steps = max(1, math.ceil(max(map(abs, travel)) / STRIDE))
    for i in range(1, steps + 1):
        problem = Problem(fitted, y, tuple(t * i / steps for t in travel))
        z = settle(problem, z)
    if not least(problem, z):
        raise ArithmeticError("the energy is not least here")
    return problem, z
