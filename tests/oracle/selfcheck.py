"""Checks the reference against itself and against closed forms, so that it is fit to judge others.

    python selfcheck.py
"""

import copy
import math
import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

import family
from continuation import follow
from linkage import part_kind
from outputs import KEYS, outputs
from pose import Unreachable, settled, solve

# Outputs that change sign on a mirrored truck; those of a side change places.
ODD = {"lateral_shift_mm", "axle_steer_deg", "roll_deg", "steering_wheel_deg"}


def answers(asked, position, travel=None):
    truck, end, state = asked["truck"], asked["end"], position["state"]
    found = solve(truck[end], truck[end][state].get("parts", []), travel or position["travel_mm"])
    return found, outputs(truck, end, state, found, position["steer_deg"])


def a_turning_point_is_found():
    """A circle, followed to where it turns back."""
    def system(z, t):
        x = 0.8 * t
        return (np.array([(x - 0.0) ** 2 + (z[0] - 0.5) ** 2 - 0.25]),
                np.array([[2 * (z[0] - 0.5)]]), np.array([2 * x * 0.8]))
    end = follow(system, np.array([0.0]), 1.0, np.ones(1), 0.1)
    assert abs(end.fraction - 0.625) < 1e-8, end.fraction
    return abs(end.fraction - 0.625)


def level_axle(length, rise):
    """Links so long that the axle goes straight up and down, on a bar."""
    point = lambda x, y, z: {"x_mm": x, "y_mm": y, "z_mm": z}
    link = lambda y, z: {"axle": point(0, y, z), "chassis": point(-1e7, y, z)}
    span = math.sqrt(length**2 - rise**2)
    return {
        "hub_face_width_mm": 1480.0, "stock": {"wheel": {"offset_mm": 30.0}},
        "layout": {"three_link": {"lower_left": link(450, -50), "upper": link(-200, 150)}},
        "panhard": {"axle": point(0, -450, 0), "chassis": point(0, -450 + span, rise)},
    }


def a_bar_swings_on_its_circle():
    """The axle's shift is the change of the bar's span."""
    worst = 0.0
    for travel in (-100.0, -50.0, 60.0, 120.0):
        shift = solve(level_axle(900.0, 60.0), [], [travel] * 2).axle()[0]
        span = lambda v: math.sqrt(900.0**2 - v**2)
        worst = max(worst, abs(shift[1] - (span(60.0) - span(60.0 - travel))))
    assert worst < 1e-6, worst
    return worst


def a_bar_too_short_ends_upright():
    """200 mm long and 60 mm up: after 140 mm of droop it stands upright."""
    try:
        solve(level_axle(200.0, 60.0), [], [-160.0] * 2)
    except Unreachable as why:
        assert why.why == "out_of_reach"
        off = abs(why.fraction - 140.0 / 160.0)
        assert off < 1e-7, why.fraction
        return off
    raise AssertionError("reached what is out of reach")


def slopes_are_those_of_solved_poses():
    """Sixth-order differences of poses solved anew against the slopes used for the outputs."""
    weights = ((1, 45.0), (2, -9.0), (3, 1.0))
    worst = 0.0
    for number in range(13):
        asked = family.truck(number)
        position = asked["positions"][1]
        try:
            found, _ = answers(asked, position)
            for way in ((1.0, 1.0), (1.0, -1.0)):
                h = 2.0
                sum_ = 0.0
                for k, w in weights:
                    for sign in (1, -1):
                        at = found.travel + sign * k * h * np.array(way)
                        z, _ = settled(found.problem, found.z, at)
                        sum_ = sum_ + sign * w * z[:7]
                measured = sum_ / (60 * h)
                left, right = found.problem.by_travel(found.z, found.travel)
                exact = (left * way[0] + right * way[1])[:7]
                scale = max(1.0, np.abs(exact).max())
                worst = max(worst, np.abs(measured - exact).max() / scale)
        except Unreachable:
            continue
    assert worst < 1e-6, worst
    return worst


def the_energy_is_what_holds_it():
    """On rubber, work done at the wheels equals what the rubber gains."""
    worst = 0.0
    for number in (0, 4, 8, 9, 13, 17):
        asked = family.truck(number)
        position = asked["positions"][1]
        energies, found = [], None
        for step in (-1.0, 0.0, 1.0):
            at = [position["travel_mm"][0] + step, position["travel_mm"][1]]
            solved, _ = answers(asked, position, at)
            if step == 0.0:
                found = solved
            strain, _ = solved.problem.strains(
                solved.problem.bush_ends(solved.z[: solved.problem.unknowns]))
            energies.append((strain**2 * solved.problem.linkage.numbers["rates"]).sum() / 2)
        rate = (energies[2] - energies[0]) / 2
        force = found.problem.holding(found.z)[0]
        worst = max(worst, abs(rate - force) / max(abs(force), 100.0))
    assert worst < 1e-3, worst
    return worst


def a_mirrored_truck_mirrors():
    """Right for left: odd outputs change sign, those of a side change places."""
    worst = 0.0
    for number in range(26):
        asked = family.truck(number)
        other = mirror(asked)
        for position in asked["positions"][2:4]:
            swapped = dict(position, travel_mm=position["travel_mm"][::-1],
                           steer_deg=-position["steer_deg"])
            try:
                _, a = answers(asked, position)
            except Unreachable as why:
                try:
                    answers(other, swapped)
                except Unreachable as same:
                    assert abs(why.fraction - same.fraction) < 1e-6, (number, why, same)
                    continue
                raise AssertionError(f"{number}: the mirror image gets further")
            _, b = answers(other, swapped)
            for key in KEYS:
                # A bar's angle is told by its chassis end, the same on either side; the angle
                # between two lines turns the other way.
                odd = key in ODD or "steer_left" in key or "steer_right" in key
                odd = odd or key == "drag_panhard_deg"
                twin = key.replace("left", "~").replace("right", "left").replace("~", "right")
                if key.startswith("upper") and asked["kind"] == "three_link":
                    twin = key
                x, y = a[key], b[twin]
                assert (x is None) == (y is None), (number, key, x, y)
                if x is not None:
                    off = abs(x + y if odd else x - y) / max(1.0, abs(x))
                    assert off < 1e-6, (number, key, x, y)
                    worst = max(worst, off)
    return worst


def mirror(asked):
    """The same truck seen in a mirror."""
    other = copy.deepcopy(asked)
    axle = other["truck"][other["end"]]

    def flip(value):
        if isinstance(value, dict):
            if "y_mm" in value:
                value["y_mm"] = -value["y_mm"]
            for v in value.values():
                flip(v)
        elif isinstance(value, list):
            for v in value:
                flip(v)

    def swap(members, name):
        left = members[f"{name}left"]
        right = members.pop(f"{name}right", None)
        if right is None:
            # A pair mirrors into itself.
            return
        flip(left), flip(right)
        members[f"{name}left"], members[f"{name}right"] = right, left

    (kind, members), = axle["layout"].items()
    if kind in ("radius_arms", "leaf_springs"):
        swap(members, "")
    else:
        swap(members, "lower_")
        if kind == "three_link":
            flip(members["upper"])
        else:
            swap(members, "upper_")
    flip(axle.get("panhard"))
    if "watts" in axle:
        flip(axle["watts"])
        axle["watts"]["left"], axle["watts"]["right"] = (
            axle["watts"]["right"], axle["watts"]["left"])
    if "steering" in axle:
        flip(axle["steering"]["pitman"])
        flip(axle["steering"]["drag_link"]["end"])
        joins = axle["steering"]["drag_link"]["joins"]
        twins = {"left_knuckle": "right_knuckle", "right_knuckle": "left_knuckle"}
        axle["steering"]["drag_link"]["joins"] = twins.get(joins, joins)
        swap(axle["steering"]["tie_rod"], "")
    for state in ("stock", "sitting", "planned"):
        setup = axle[state]
        left, right = setup["lift_mm"], setup.get("lift_right_mm")
        if right is not None:
            setup["lift_mm"], setup["lift_right_mm"] = right, left
        for part in setup.get("parts", []):
            fitted, = part.values()
            # Across, a paired bracket's hole counts outboard on both sides.
            if part_kind(part).startswith("bracket panhard"):
                flip(fitted)
    return other


def main():
    for check in (a_turning_point_is_found, a_bar_swings_on_its_circle,
                  a_bar_too_short_ends_upright, slopes_are_those_of_solved_poses,
                  the_energy_is_what_holds_it, a_mirrored_truck_mirrors):
        print(f"{check.__name__.replace('_', ' ')}: to {check():.1e}")


if __name__ == "__main__":
    main()
