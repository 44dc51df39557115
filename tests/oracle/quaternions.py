"""Rotations as quaternions (w, x, y, z), with slopes, for real and complex numbers alike.

Any number of leading axes; no branch depends on an imaginary part, so that derivatives can be taken
by complex steps (Squire and Trapp, SIAM Review 40 (1998) 110).
"""

import numpy as np

# Terms of the series used for small turns; at |r| < 0.01 the twelfth is under rounding.
TERMS = np.arange(12)
SIGNS = (-1.0) ** TERMS / (2 * TERMS + 1)


UNIT = np.eye(3)

# Called a million times on a few numbers each: parts are written where they belong, for numpy's
# stack and concatenate take longer than the arithmetic.


def dot(u, v):
    return np.add.reduce(u * v, -1, keepdims=True)


def cross(u, v):
    x, y, z = u[..., 0], u[..., 1], u[..., 2]
    a, b, c = v[..., 0], v[..., 1], v[..., 2]
    first = y * c - z * b
    out = np.empty((*first.shape, 3), first.dtype)
    out[..., 0], out[..., 1], out[..., 2] = first, z * a - x * c, x * b - y * a
    return out


def skew(v):
    """Matrix of `v` cross."""
    x, y, z = v[..., 0], v[..., 1], v[..., 2]
    out = np.zeros((*v.shape, 3), v.dtype)
    out[..., 0, 1], out[..., 0, 2], out[..., 1, 2] = -z, y, -x
    out[..., 1, 0], out[..., 2, 0], out[..., 2, 1] = z, -y, x
    return out


def conjugate(q):
    return q * np.array([1.0, -1.0, -1.0, -1.0])


def product(p, q):
    a, u, b, v = p[..., :1], p[..., 1:], q[..., :1], q[..., 1:]
    return np.concatenate([a * b - dot(u, v), a * v + b * u + cross(u, v)], -1)


def left_matrix(p):
    """M with M q = p q."""
    w, x, y, z = (p[..., i] for i in range(4))
    return np.stack([w, -x, -y, -z, x, w, -z, y, y, z, w, -x, z, -y, x, w],
                    -1).reshape(*p.shape[:-1], 4, 4)


def right_matrix(p):
    """M with M q = q p."""
    w, x, y, z = (p[..., i] for i in range(4))
    return np.stack([w, -x, -y, -z, x, w, z, -y, y, -z, w, x, z, y, -x, w],
                    -1).reshape(*p.shape[:-1], 4, 4)


def turned(q, v):
    """q v q*."""
    w, u = q[..., :1], q[..., 1:]
    return (w * w - dot(u, u)) * v + 2 * dot(u, v) * u + 2 * w * cross(u, v)


def turned_slope(q, v):
    """Slope of q v q* by the four parts of q: a 3 x 4 matrix."""
    w, u = q[..., :1], q[..., 1:]
    by_w = 2 * (w * v + cross(u, v))
    outer = u[..., :, None] * v[..., None, :]
    out = np.empty((*by_w.shape, 4), by_w.dtype)
    out[..., 0] = by_w
    out[..., 1:] = (2 * (outer - np.swapaxes(outer, -1, -2)) + 2 * dot(u, v)[..., None] * UNIT
                    - 2 * w[..., None] * skew(v))
    return out


def about(axis, angle):
    """Turn by `angle` about a unit axis."""
    half = np.asarray(angle)[..., None] / 2
    return np.concatenate([np.cos(half), np.sin(half) * axis], -1)


def rotation_vector(q):
    """Axis times angle, for turns under half a revolution, and its slope: a 3 x 4 matrix.

    With r = |v|/w the vector is v A(r^2)/w, where A = 2 atan(r)/r.
    """
    w, v = q[..., :1], q[..., 1:]
    r2 = dot(v, v) / w**2
    small = np.abs(r2) < 0.01
    r2_large = np.where(small, 1.0, r2)
    r = np.sqrt(r2_large)
    a_large = 2 * np.arctan(r) / r
    da_large = (1 / (1 + r2_large) - a_large / 2) / r2_large
    r2_small = np.where(small, r2, 0.0)
    powers = r2_small ** TERMS
    a = np.where(small, 2 * dot(powers, SIGNS), a_large)
    da = np.where(small, 2 * dot(powers[..., :-1], SIGNS[1:] * TERMS[1:]), da_large)
    by_v = ((a / w)[..., None] * UNIT
            + (2 * da / w**3)[..., None] * v[..., :, None] * v[..., None, :])
    by_w = -v * (a + 2 * r2 * da) / w**2
    return v * a / w, np.concatenate([by_w[..., None], by_v], -1)
