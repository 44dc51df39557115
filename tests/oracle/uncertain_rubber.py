"""How far the example truck's answers scatter when its measurements do: plain Monte Carlo (JCGM
101:2008) on arms in rubber.

    python uncertain_rubber.py > uncertain_rubber.json
    python uncertain_rubber.py --trials 2000     as the tests do to see that the file is fresh

The front axle of the frozen example of version 3. Each trial draws every number anew that is not
exact (rubber is never softer than a twentieth of what it should be) and solves the pose of least
energy again, followed there from the best values' pose by Newton's method.
"""

import argparse
import copy
import json
import sys
from pathlib import Path

import numpy as np

from linkage import design, value
from pose import Problem, solve, wheel_y
from quaternions import turned

SEED = 20260117
EXAMPLE = Path(__file__).parent.parent / "golden" / "v3" / "example.json"
# Trials solved at once.
TOGETHER = 2000


def spread(known):
    """One standard deviation of a number as the build document writes it."""
    if not isinstance(known, dict):
        return 0.0
    typical = {"tape": 2.0, "angle_gauge": 0.2, "phone_level": 0.5, "plumb_line": 3.0, "caliper": 0.2}
    origin = known["origin"]
    other = typical[origin["measured"]] if isinstance(origin, dict) else 0.0
    sigma = known.get("sigma")
    return other if sigma is None else sigma


def knowns(node):
    """Every number of a part of the document, with a way to set it."""
    if isinstance(node, dict):
        for key, inner in node.items():
            if isinstance(inner, dict) and "origin" in inner:
                yield node, key
            else:
                yield from knowns(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from knowns(inner)


def missed(problem, z, travel):
    """What vanishes at the pose, a trial to the row: slope of the Lagrangian, then the conditions."""
    n = problem.unknowns
    x = z[:, :n]
    exact, by_exact = problem.exact(x, travel)
    pull = np.zeros((len(z), n + 7), z.dtype)
    pull[:, :n] = (z[:, n:, None] * by_exact).sum(1)
    rest = np.tile([0, 0, 0, 1000.0, 0, 0, 0], (len(z), 1))
    ends = np.concatenate([x, rest], 1)[:, problem.ends]
    pulls = problem.pulls(ends)
    for bush, at in enumerate(problem.ends):
        pull[:, at] += pulls[:, bush]
    return np.concatenate([pull[:, :n], exact], 1)


def slopes(problem, z, travel):
    """The Jacobian of `missed`, a matrix to the trial, by complex steps."""
    h = 1e-30
    columns = [missed(problem, z + 1j * h * e, travel).imag / h for e in np.eye(z.shape[1])]
    return np.stack(columns, -1)


class Trials:
    """Trials of the example, and the way to them from its best values."""

    def __init__(self, axle, best, numbers, wheel, lift):
        self.axle, self.best, self.numbers, self.wheel, self.lift = axle, best, numbers, wheel, lift

    def problem(self, share):
        """The problem and its travel, such a share of the way from the best values."""
        linkage, toward = design(self.axle), lambda a, b: a + (b - a) * share
        linkage.numbers = {k: toward(linkage.numbers[k], v) for k, v in self.numbers.items()}
        lift = toward(value(self.axle["sitting"]["lift_mm"]), self.lift)
        travel = -lift[:, None] + np.zeros((1, 2))
        return Problem(linkage, toward(wheel_y(self.axle), self.wheel)), travel

    def followed(self, stages):
        """The solutions, and how far each last step still went."""
        z = np.tile(self.best.z, (len(self.lift), 1))
        for stage in range(1, stages + 1):
            problem, travel = self.problem(stage / stages)
            matrix = np.linalg.inv(slopes(problem, z, travel))
            for _ in range(40):
                step = (matrix @ missed(problem, z, travel)[..., None])[..., 0]
                rest = np.abs(step[:, : problem.unknowns]).max(1)
                # What runs away stays where it is.
                step[~(rest < 100.0)] = 0.0
                z = z - step
                if not (rest > 1e-10).any():
                    break
        return z, np.where(rest < 100.0, rest, np.inf)


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--trials", type=int, default=100_000)
    trials = options.parse_args().trials

    axle = json.loads(EXAMPLE.read_text())["truck"]["front"]
    assert not axle.get("readings") and not axle["sitting"].get("parts")
    lift = value(axle["sitting"]["lift_mm"])
    best = solve(axle, [], np.array([-lift, -lift]))

    # What the pose and the answers below hang on.
    parts = ["hub_face_width_mm", "layout", "panhard", "kingpin"]
    chance = np.random.Generator(np.random.PCG64(SEED))
    names = ("lateral_shift_mm", "caster_deg", "panhard_deg", "pinion_deg", "arm_left_deg",
             "wheelbase_change_left_mm", "axle_steer_deg")
    samples, lost = {name: [] for name in names}, []
    for start in range(0, trials, TOGETHER):
        count = min(TOGETHER, trials - start)
        drawn = copy.deepcopy({k: axle[k] for k in parts} | {
            "stock": {"wheel": {"offset_mm": axle["stock"]["wheel"]["offset_mm"]}},
            "sitting": {"lift_mm": axle["sitting"]["lift_mm"]}, "pinion": axle["pinion"]})
        draws = [(node, key, value(node[key]),
                  spread(node[key]) * chance.standard_normal(count)) for node, key in knowns(drawn)]
        rows = {}
        lifts, wheels, kingpins, pinions = [], [], [], []
        for i in range(count):
            for node, key, middle, off in draws:
                node[key] = middle + off[i]
                if "_n_per_mm" in key or "_nm_per_deg" in key:
                    node[key] = max(node[key], middle / 20)
            for key, number in design(drawn).numbers.items():
                rows.setdefault(key, []).append(number)
            lifts.append(drawn["sitting"]["lift_mm"])
            wheels.append(drawn["hub_face_width_mm"] / 2 - drawn["stock"]["wheel"]["offset_mm"])
            k = drawn["kingpin"]
            kingpins.append([np.tan(np.radians(k[n])) for n in ("caster_deg", "inclination_deg")])
            pinions.append(np.radians(drawn["pinion"]["angle_deg"]))
        numbers = {key: np.array(row) for key, row in rows.items()}
        whole = Trials(axle, best, numbers, np.array(wheels), np.array(lifts))
        z, rest = whole.followed(stages=1)
        # The few that are furthest out are led there in small stages.
        far = np.flatnonzero(~(rest < 1e-7))
        if far.size:
            some = Trials(axle, best, {k: v[far] for k, v in numbers.items()}, whole.wheel[far],
                          whole.lift[far])
            z[far], rest = some.followed(stages=16)
            lost.append(far[rest > 1e-7] + start)
        problem, linkage = whole.problem(1.0)[0], design(axle)
        linkage.numbers = numbers
        s, q = problem.bodies(z[:, : problem.unknowns])
        shift, q = s[:, 0], q[:, 0]
        bar = linkage.numbers["chassis"][:, 0] - shift - turned(q, linkage.numbers["axle"][:, 0])
        angle = lambda z, level: np.degrees(np.arctan2(z, np.abs(level)))
        tans = np.array(kingpins)
        casters = []
        for side in (1.0, -1.0):
            axis = np.stack([-tans[:, 0], -side * tans[:, 1], np.ones(count)], 1)
            up = turned(q, axis)
            casters.append(np.degrees(np.arctan2(-up[:, 0], up[:, 2])))
        pinion = np.array(pinions)
        flange = turned(q, np.stack([-np.cos(pinion), 0 * pinion, np.sin(pinion)], 1))
        left = turned(q, np.array([0.0, 1.0, 0.0]) + 0 * shift)
        # A radius arm runs from the middle of its bushes at the axle to its eye.
        arm_s, arm_q = s[:, 1], problem.bodies(z[:, : problem.unknowns])[1][:, 1]
        on_arm = linkage.numbers["on_arm"]
        arm = turned(arm_q, on_arm[:, 2] - (on_arm[:, 0] + on_arm[:, 1]) / 2)
        for name, found in {
            "lateral_shift_mm": shift[:, 1],
            "caster_deg": (casters[0] + casters[1]) / 2,
            "panhard_deg": angle(bar[:, 2], bar[:, 1]),
            "pinion_deg": angle(flange[:, 2], np.hypot(flange[:, 0], flange[:, 1])),
            "arm_left_deg": angle(arm[:, 2], arm[:, 0]),
            "wheelbase_change_left_mm": (shift + turned(q, problem.wheels[:, 0]))[:, 0],
            "axle_steer_deg": np.degrees(np.arctan2(-left[:, 0], left[:, 1])),
        }.items():
            samples[name].append(found)
    # Where the rubber drawn is so soft that the arms fold there is no answer to count.
    lost = np.concatenate([*lost, []]).astype(int)
    assert len(lost) <= trials // 2000, len(lost)
    samples = {k: np.delete(np.concatenate(v), lost) for k, v in samples.items()}
    json.dump({
        "trials": trials,
        "lost": len(lost),
        "sigma": {k: float(v.std(ddof=1)) for k, v in samples.items()},
        "mean": {k: float(v.mean()) for k, v in samples.items()},
    }, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
