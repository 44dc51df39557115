"""Writes the expected poses of the family of trucks as JSON.

    python make.py > pose.json        those that are stored
    python make.py --only 0,13,40     some of them
    python make.py --family           all of them, which takes a few minutes
    python make.py --ask < ASKED      those given, as the tests do to find the simplest that differs
"""

import os

# Small systems: more threads than processes only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import functools
import json
import multiprocessing
import sys

import numpy as np

import family
from outputs import KEYS, SWEPT, lift, outputs, reactions, straight_pitman
from pose import Assembly, Unreachable

PROCESSES = 2


def answered(asked):
    """The truck with each position's answer beside it."""
    truck, end = asked["truck"], asked["end"]
    fitted = functools.cache(
        lambda state: Assembly(truck[end], truck[end][state].get("parts", [])))
    for position in asked["positions"]:
        state, steer = position["state"], position["steer_deg"]
        try:
            found = fitted(state).solve(position["travel_mm"])
        except Unreachable as why:
            beyond = {"why": why.why, "fraction": round(float(why.fraction), 9)}
            position["answer"] = {"beyond": beyond}
            continue
        shift, q = found.axle()
        out = outputs(truck, end, state, found, steer)
        position["answer"] = {"pose": {
            "shift_mm": [round(float(v), 10) for v in shift],
            "quaternion": [round(float(v), 14) for v in q],
            "outputs": [None if out[k] is None else float(f"{out[k]:.12g}") for k in KEYS],
            "reactions": [[place, side, [round(float(v), 5) for v in load], round(apart, 9),
                           round(turn, 12)]
                          for place, side, load, apart, turn in reactions(truck[end], found)],
            "scipy_us": round(found.spent * 1e6)}}
    if end == "front" and asked["number"] < family.STORED:
        asked["sweeps"] = sweeps(truck, end, fitted)
    return asked


def sweeps(truck, end, fitted):
    """Steps from rest as planned, the pitman arm where the wheels point straight there: path, how
    far, and what is asked about, or nothing where there is no such pose."""
    state = "planned"
    try:
        ride = [-v for v in lift(truck[end][state])]
        held = straight_pitman(truck, end, state, fitted(state).solve(ride))
    except Unreachable:
        return []
    if held is None and truck[end].get("steering"):
        return []
    found = []
    for path, (left, right) in {"heave": (1, 1), "roll": (1, -1), "left": (1, 0)}.items():
        for at in (-30.0, 30.0):
            try:
                pose = fitted(state).solve([ride[0] + left * at, ride[1] + right * at])
            except Unreachable:
                found.append([path, at, None])
                continue
            out = outputs(truck, end, state, pose, 0.0, held)
            found.append([path, at, [
                None if out[k] is None else float(f"{out[k]:.12g}") for k in SWEPT]])
    return found


def if_any(asked):
    """As `answered`, but what cannot be answered stays so: not every simpler truck is a truck."""
    try:
        return answered(asked)
    except Exception as error:
        print(f"truck {asked['number']}: {error}", file=sys.stderr)
        return asked | {"positions": [p | {"answer": None} for p in asked["positions"]]}


def by_number(number, seed):
    asked = family.truck(number, seed)
    try:
        return answered(asked)
    except Exception as error:
        raise RuntimeError(f"truck {number}: {error}") from error


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--only", help="numbers of the trucks wanted, with commas between")
    options.add_argument("--family", action="store_true", help="every truck of the family")
    options.add_argument("--ask", action="store_true", help="trucks from standard input")
    options.add_argument("--seed", type=int, default=family.SEED, help="another family")
    chosen = options.parse_args()
    print(f"seed {chosen.seed}, numpy {np.__version__}", file=sys.stderr)
    how, what = functools.partial(by_number, seed=chosen.seed), range(family.STORED)
    if chosen.family:
        what = range(family.WHOLE)
    elif chosen.only:
        what = [int(n) for n in chosen.only.split(",")]
    elif chosen.ask:
        how, what = if_any, json.load(sys.stdin)
    with multiprocessing.Pool(PROCESSES) as pool:
        trucks = pool.imap(how, what, chunksize=4)
        # A truck to the line, so that a change shows as the trucks it changes.
        compact = lambda v: json.dumps(v, separators=(",", ":"))
        print(f'{{"seed":{chosen.seed},"keys":{compact(KEYS)},"swept":{compact(SWEPT)},')
        print('"trucks":[')
        for place, truck in enumerate(trucks, 1):
            if not (chosen.family or chosen.ask):
                # What is stored must not change from run to run.
                for position in truck["positions"]:
                    position["answer"].get("pose", {}).pop("scipy_us", None)
            print(compact(truck) + ("," if place < len(what) else ""))
        print("]}")


if __name__ == "__main__":
    main()
