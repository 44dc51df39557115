"""The trucks and positions the oracle is asked about: random, but the same on every machine.

Axles are plain JSON in the form the build document uses, with every number a bare value.
"""

import copy
import random

SEED = 20250817

KINDS = ("three_link", "four_link", "radius_arms")
ENDS = ("front", "rear")
# Per kind and end; with the positions below that makes 80 poses of each kind.
TRUCKS = 8
# Odd trucks taken far, a dozen per kind and end, of which these are kept: one of each, among them
# two (33 and 68) so near the end of what links or rubber can give that iterations settle slowly.
FAR_SEED = 77
FAR_TRUCKS = 12
FAR_KEPT = (5, 20, 26, 33, 50, 68)


def trucks():
    """Every truck of the family, in a fixed order."""
    yield from dealt(random.Random(SEED), TRUCKS, far=False)
    far = list(dealt(random.Random(FAR_SEED), FAR_TRUCKS, far=True))
    yield from (far[i] for i in FAR_KEPT)


def dealt(chance, count, far):
    for kind in KINDS:
        for end in ENDS:
            for number in range(count):
                yield truck(chance, kind, end, number, far)


def truck(chance, kind, end, number, far):
    """One axle and the positions to take it to."""
    spread = 75.0 if far else 30.0
    # Members run rearward from a front axle and forward from a rear one; every fourth truck has
    # them the other way round.
    aft = (-1.0 if end == "front" else 1.0) * (-1.0 if number % 4 == 3 else 1.0)
    near = lambda value, spread: round(value + chance.uniform(-spread, spread), 2)
    point = lambda x, y, z, s=spread: {
        "x_mm": near(x, s), "y_mm": near(y, s), "z_mm": near(z, s)}
    bar = lambda a, c: {"axle": point(*a), "chassis": point(*c)}

    asymmetric = number % 2 == 1
    if kind == "three_link":
        members = {
            "lower_left": bar((aft * 20, 460, -60), (aft * 880, 430, 10)),
            "upper": bar((aft * 40, -230, 160), (aft * 720, -240, 190)),
        }
        if asymmetric:
            members["lower_right"] = bar((aft * 20, -460, -60), (aft * 880, -430, 10))
    elif kind == "four_link":
        members = {
            "lower_left": bar((aft * 20, 470, -60), (aft * 900, 450, -10)),
            "upper_left": bar((aft * 30, 310, 140), (aft * 720, 320, 165)),
        }
        if asymmetric:
            members["lower_right"] = bar((aft * 20, -470, -60), (aft * 900, -450, -10))
            members["upper_right"] = bar((aft * 30, -310, 140), (aft * 720, -320, 165))
    else:
        arm = lambda side: {
            "axle_far": point(-aft * 85, side * 455, -30, 12),
            "axle_near": point(aft * 85, side * 455, -30, 12),
            "chassis": point(aft * 890, side * 440, 60),
        }
        bush = lambda radial, axial, axis: {
            "radial_n_per_mm": near(radial, (0.9 if far else 0.3) * radial),
            "axial_n_per_mm": near(axial, (0.9 if far else 0.3) * axial),
            "conical_nm_per_deg": near(40, 39) if far else near(15, 5),
            "torsion_nm_per_deg": near(10, 9.9) if far else near(2, 1),
            "axis": axis,
        }
        members = {
            "left": arm(1.0),
            "axle_bush": bush(6000, 1500, "lateral"),
            "chassis_bush": bush(
                4000, 1000, "longitudinal" if number % 3 == 2 else "lateral"),
        }
        if asymmetric:
            members["right"] = arm(-1.0)

    if end == "front":
        panhard = bar((95, -465, 90), (95, 430, 150))
    else:
        panhard = bar((-140, 455, 60), (-140, -430, 115))

    stock = {
        "lift_mm": 0.0,
        "tire": {"size": "235/85R16", "loaded_radius_mm": near(375, 15)},
        "wheel": {"width_mm": 177.8, "offset_mm": near(25, 15)},
        "spacer_mm": 0.0,
    }
    planned = copy.deepcopy(stock)
    left, right = near(70, 30), near(70, 30)
    planned["lift_mm"] = left
    if number % 2 == 0:
        right = left
    else:
        planned["lift_right_mm"] = right
    planned["tire"] = {"size": "315/75R16", "loaded_radius_mm": near(420, 15)}
    planned["wheel"]["offset_mm"] = near(-10, 15)
    if number % 4 == 2:
        planned["spacer_mm"] = 31.75
    planned["parts"] = parts(chance, kind, number)
    axle = {
        "hub_face_width_mm": near(1480, 40),
        "layout": {kind: members},
        "panhard": panhard,
        "pinion": {
            "angle_deg": near(3, 4),
            "length_mm": near(280, 30),
            "y_mm": near(-130 if end == "front" else 0, 60),
        },
        "limits": {"bump_mm": 90.0, "droop_mm": 120.0, "lock_deg": 32.0},
        "surroundings": {},
        "stock": stock,
        "sitting": copy.deepcopy(stock),
        "planned": planned,
    }
    if end == "front":
        axle["kingpin"] = {
            "caster_deg": near(3.5, 2),
            "inclination_deg": near(9, 3),
            "hub_offset_mm": near(113, 15),
            "hub_trail_mm": near(0, 8),
        }

    if far:
        both, roll, one = near(0, 200), near(110, 40), near(0, 200)
    else:
        both, roll, one = near(0, 100), near(50, 30), near(0, 80)
    swing = near(0, 25) if end == "front" else 0.0
    at = lambda state, left, right, steer=0.0: {
        "state": state, "travel_mm": [left, right], "steer_deg": steer}
    positions = [
        # As it rests with lift and parts, the travel that the lift implies.
        at("planned", -left, -right),
        at("stock", both, both, swing),
        at("planned", round(roll - left, 2), round(-roll - right, 2), swing),
        at("stock", one, 0.0) if number % 2 == 0 else at("stock", 0.0, one),
        at("planned", 0.0, 0.0, -swing),
    ]
    return {"kind": kind, "end": end, "axle": axle, "positions": positions}


def parts(chance, kind, number):
    """Corrections fitted in the planned state: none on every other truck."""
    near = lambda value, spread: round(value + chance.uniform(-spread, spread), 2)
    hole = lambda x, y, z: {
        "holes": [
            {"name": "stock", "x_mm": 0.0, "y_mm": 0.0, "z_mm": 0.0},
            {"name": "used", "x_mm": near(x, 4), "y_mm": near(y, 4), "z_mm": near(z, 4)},
        ],
        "hole": 1,
    }
    if number % 2 == 0:
        return []
    fitted = [{"panhard_axle_bracket": hole(0, 0, 45)}]
    if number % 4 == 3:
        fitted = [{"panhard_chassis_bracket": hole(5, 0, -40)}]
    fitted.append({"arm_bracket": hole(20, 6, -40)})
    if number in (3, 5):
        change = near(6, 4)
        fitted.append({"panhard_length": {"change_mm": change, "range_mm": [-25.0, 40.0]}})
    if kind == "radius_arms":
        turn = near(3, 1)
        fitted.append({"caster_bush": {"angle_deg": turn, "choices_deg": [turn]}})
    elif number in (1, 3):
        change = near(0, 10)
        fitted.append({"upper_link_length": {"change_mm": change, "range_mm": [-25.0, 25.0]}})
    return fitted
