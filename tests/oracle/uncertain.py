"""How far an axle's outputs scatter when its measurements do: plain Monte Carlo (JCGM 101:2008).

    python uncertain.py > uncertain.json
    python uncertain.py --trials 4000       as the tests do to see that the file is fresh

One three-link front axle, every hardpoint and the lift read with a tape. Each trial draws all
readings anew, with stock geometry as drawn, and the whole of the trials is solved at once.
"""

import argparse
import json
import sys

import numpy as np

from linkage import Linkage
from pose import Problem
from quaternions import turned

SEED = 20250817

TAPE = 2.0


def known(number, sigma):
    """A reading, as the build document writes it."""
    return {"value": number, "sigma": sigma, "origin": {"measured": "tape"}}


def taped(x, y, z):
    return {"x_mm": known(x, TAPE), "y_mm": known(y, TAPE), "z_mm": known(z, TAPE)}


def axle():
    bar = lambda a, c: {"axle": taped(*a), "chassis": taped(*c)}
    stock = {
        "lift_mm": 0.0,
        "tire": {"size": "235/85R16", "loaded_radius_mm": 375.0},
        "wheel": {"width_mm": 177.8, "offset_mm": 25.0},
        "spacer_mm": 0.0,
    }
    lifted = dict(stock, lift_mm=known(100.0, 3.0))
    return {
        "hub_face_width_mm": known(1480.0, 3.0),
        "layout": {"three_link": {
            "lower_left": bar((-20, 460, -60), (-880, 430, 10)),
            "lower_right": bar((-25, -455, -62), (-875, -435, 14)),
            "upper": bar((-40, -230, 160), (-720, -240, 190)),
        }},
        "panhard": bar((95, -465, 90), (95, 430, 150)),
        "pinion": {"angle_deg": 3.0, "length_mm": 280.0, "y_mm": -130.0},
        "limits": {"bump_mm": 90.0, "droop_mm": 120.0, "lock_deg": 32.0},
        "surroundings": {},
        "stock": stock,
        "sitting": lifted,
        "planned": lifted,
    }


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--trials", type=int, default=50_000)
    trials = options.parse_args().trials

    def drawn(known):
        if not isinstance(known, dict):
            return np.full((trials, 1), known)
        return chance.normal(known["value"], known["sigma"], (trials, 1))

    chance = np.random.Generator(np.random.PCG64(SEED))
    truck = axle()
    point = lambda p: np.concatenate([drawn(p[k]) for k in ("x_mm", "y_mm", "z_mm")], -1)

    members = truck["layout"]["three_link"]
    bars = {k: members[k] for k in ("lower_left", "lower_right", "upper")}
    bars["panhard"] = truck["panhard"]
    # A trial to the row, a link to the column.
    ends = {k: np.stack([point(bar[k]) for bar in bars.values()], 1) for k in ("axle", "chassis")}
    numbers = ends | {"length": np.linalg.norm(ends["axle"] - ends["chassis"], axis=-1)}
    linkage = Linkage(1, numbers, [], [], list(bars), False, None)
    y = drawn(truck["hub_face_width_mm"])[:, 0] / 2 - truck["stock"]["wheel"]["offset_mm"]
    lift = drawn(truck["sitting"]["lift_mm"])
    problem = Problem(linkage, y)
    x = np.tile(problem.home(), (trials, 1))
    for share in (0.25, 0.5, 0.75, 1.0):
        for _ in range(4):
            miss, slope = problem.exact(x, -lift * share)
            step = np.linalg.solve(slope, -miss[..., None])[..., 0]
            x = x + step
    assert np.abs(step).max() < 1e-8

    shift, q = (v[:, 0] for v in problem.bodies(x))
    low, high = shift + turned(q, ends["axle"][:, -1]), ends["chassis"][:, -1]
    up = turned(q, np.array([0.0, 0.0, 1.0]) + 0 * shift)
    left = shift + turned(q, problem.wheels[:, 0])
    samples = {
        "lateral_shift_mm": shift[:, 1],
        "panhard_deg": np.degrees(np.arctan2(high[:, 2] - low[:, 2], abs(high[:, 1] - low[:, 1]))),
        "caster_deg": np.degrees(np.arctan2(-up[:, 0], up[:, 2])),
        "wheelbase_change_left_mm": left[:, 0],
    }
    json.dump({
        "trials": trials,
        "axle": truck,
        "sigma": {k: float(v.std(ddof=1)) for k, v in samples.items()},
        "mean": {k: float(v.mean()) for k, v in samples.items()},
    }, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
