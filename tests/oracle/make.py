"""Writes the expected poses of the family of trucks as JSON.

    python make.py > pose.json        every truck
    python make.py --only 0,13,40     some of them, as the tests do to see that the file is fresh
"""

import argparse
import json
import sys

import numpy as np
from scipy.spatial.transform import Rotation

import family
from outputs import outputs
from pose import solve


def expected(truck):
    """The truck with each position's answer beside it."""
    axle, end = truck["axle"], truck["end"]
    for position in truck["positions"]:
        state = position["state"]
        parts = axle[state].get("parts", [])
        problem, z = solve(axle, parts, position["travel_mm"])
        shift, q = problem.pose(z[: problem.unknowns])[0]
        turn = Rotation.from_quat(q, scalar_first=True)
        position["shift_mm"] = [float(v) for v in shift]
        position["turn"] = [[float(v) for v in row] for row in turn.as_matrix()]
        position["outputs"] = outputs(
            axle, end, state, problem.linkage, shift, turn, position["steer_deg"])
    return truck


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--only", help="numbers of the trucks wanted, with commas between")
    only = options.parse_args().only
    wanted = None if only is None else {int(n) for n in only.split(",")}
    print(f"seed {family.SEED}, numpy {np.__version__}", file=sys.stderr)
    chosen = [(number, truck) for number, truck in enumerate(family.trucks())
              if wanted is None or number in wanted]
    # A truck to the line, so that a change shows as the trucks it changes.
    print(f'{{"seed": {family.SEED}, "trucks": [')
    for place, (number, truck) in enumerate(chosen, 1):
        line = json.dumps({"number": number, **expected(truck)})
        print(line + ("," if place < len(chosen) else ""))
    print("]}")


if __name__ == "__main__":
    main()
