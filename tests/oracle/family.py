"""The trucks and positions the oracle is asked about: random, but the same on every machine.

Trucks are plain JSON in the form the build document uses, with every number a bare value. Each is
dealt from its own number, so that any of them can be asked for alone.
"""

import copy
import random

SEED = 20261125

# Layout, what holds the axle sideways, and what that rides on.
KINDS = (
    ("radius_arms", "panhard"), ("three_link", "panhard"), ("four_link", "panhard"),
    ("triangulated", None), ("leaf_springs", None), ("three_link", "watts_axle"),
    ("double_triangulated", None), ("four_link", "watts_chassis"), ("radius_arms", "watts_axle"),
    ("leaf_springs", "panhard"), ("three_link", "watts_chassis"), ("four_link", "watts_axle"),
    ("radius_arms", None),
)
ENDS = ("front", "rear")
STEERING = ("cross_far", "inverted_y", "fore_aft", "cross_near", None)
# Two of every layout at both ends are kept with their answers; all are asked for afresh.
STORED = 2 * len(KINDS) * len(ENDS)
WHOLE = 16 * len(KINDS) * len(ENDS)


def truck(number, seed=SEED):
    """One truck and the positions to take it to."""
    return Dealer(number, seed).truck()


class Dealer:
    def __init__(self, number, seed):
        self.number = number
        self.chance = random.Random(seed * 100_000 + number)
        self.layout, self.sideways = KINDS[number % len(KINDS)]
        self.end = ENDS[number // len(KINDS) % 2]
        # How often this kind at this end came before.
        self.turn = number // (2 * len(KINDS))
        # Every fourth is an odd one, with short members, taken far.
        self.far = self.turn % 4 == 1
        # Members run rearward from a front axle and forward from a rear one; some the other way.
        self.aft = (-1.0 if self.end == "front" else 1.0) * self.chance.choice((1, 1, 1, -1))
        self.asymmetric = self.chance.random() < 0.6
        self.spread = 40.0 if self.far else 25.0

    def near(self, value, spread):
        return round(value + self.chance.uniform(-spread, spread), 2)

    def point(self, x, y, z, spread=None):
        spread = self.spread if spread is None else spread
        return {f"{axis}_mm": self.near(v, spread) for axis, v in zip("xyz", (x, y, z))}

    def bar(self, a, c):
        return {"axle": self.point(*a), "chassis": self.point(*c)}

    def both(self, name, make):
        """A left-hand member, and on an asymmetric truck a right-hand one."""
        members = {f"{name}left": make(1.0)}
        if self.asymmetric:
            members[f"{name}right"] = make(-1.0)
        return members

    def truck(self):
        stock = self.setup(0.0, 0.0)
        sitting = self.setup(self.near(40, 30), None)
        left = self.near(70, 30)
        right = None if self.chance.random() < 0.5 else self.near(70, 30)
        planned = self.setup(left, right)
        front = self.end == "front"
        axle = {
            "hub_face_width_mm": self.near(1480, 40),
            "layout": self.members(),
            "pinion": {"angle_deg": self.near(3, 4), "length_mm": self.near(280, 30),
                       "y_mm": self.near(-130 if front else 0, 60)},
            "limits": {"bump_mm": 90.0, "droop_mm": 120.0, "lock_deg": 32.0 if front else 0.0},
            "surroundings": {},
            "stock": stock, "sitting": sitting, "planned": planned,
        }
        if self.sideways == "panhard":
            axle["panhard"] = self.panhard()
        elif self.sideways:
            axle["watts"] = self.watts(self.sideways.removeprefix("watts_"))
        if front:
            axle["kingpin"] = {
                "caster_deg": self.near(3.5, 2), "inclination_deg": self.near(9, 3),
                "hub_offset_mm": self.near(113, 15), "hub_trail_mm": self.near(0, 8)}
            how = STEERING[(self.number + self.turn) % len(STEERING)]
            if how:
                axle["steering"] = self.steering(how)
        if self.layout != "leaf_springs" and self.chance.random() < 0.7:
            axle["spring"] = self.bar((0, 400, 60), (0, 400, 320))
        if self.chance.random() < 0.7:
            axle["shock"] = self.bar((-self.aft * 90, 430, -40), (-self.aft * 120, 400, 420))
        planned["parts"] = self.parts("steering" in axle)
        truck = {"wheelbase_mm": self.near(2600, 300), self.end: axle}
        if self.chance.random() < 0.5:
            truck["balance"] = {
                "cg_height_mm": self.near(720, 60), "front_brake_percent": self.near(65, 10),
                "front_drive_percent": self.near(25, 25)}
        return {"number": self.number, "kind": self.layout, "sideways": self.sideways,
                "end": self.end, "truck": truck, "positions": self.positions(axle)}

    def members(self):
        aft, layout = self.aft, self.layout
        # An odd truck's links are short.
        reach = self.chance.uniform(0.4, 0.8) if self.far else 1.0
        if layout == "three_link":
            return {layout: {
                **self.both("lower_", lambda s: self.bar(
                    (aft * 20, s * 460, -60), (aft * 880 * reach, s * 430, 10))),
                "upper": self.bar((aft * 40, -230, 160), (aft * 720 * reach, -240, 190))}}
        if layout == "four_link":
            return {layout: {
                **self.both("lower_", lambda s: self.bar(
                    (aft * 20, s * 470, -60), (aft * 900 * reach, s * 450, -10))),
                **self.both("upper_", lambda s: self.bar(
                    (aft * 30, s * 310, 140), (aft * 720 * reach, s * 320, 165)))}}
        if layout in ("triangulated", "double_triangulated"):
            inner = 430 if layout == "triangulated" else 260
            return {"four_link": {
                **self.both("lower_", lambda s: self.bar(
                    (aft * 20, s * 480, -60), (aft * 880 * reach, s * inner, -10))),
                **self.both("upper_", lambda s: self.bar(
                    (aft * 10, s * 120, 170), (aft * 680 * reach, s * 400, 190)))}}
        if layout == "radius_arms":
            arm = lambda s: {
                "axle_far": self.point(-aft * 85, s * 455, -30, 12),
                "axle_near": self.point(aft * 85, s * 455, -30, 12),
                "chassis": self.point(aft * 890 * reach, s * 440, 60)}
            return {layout: {
                **self.both("", arm),
                "axle_bush": self.bush(6000, 1500, "lateral"),
                "chassis_bush": self.bush(
                    4000, 1000, self.chance.choice(("lateral", "lateral", "longitudinal")))}}
        over = self.chance.choice((1.0, 1.0, -1.0))
        # The shackle hangs at the rear on some, at the front on others.
        spring = lambda s: {
            "seat": self.point(0, s * 420, over * 70, 12),
            "fixed_eye": self.point(aft * 560 * reach, s * 420, over * 70 + 50),
            "shackle_eye": self.point(-aft * 620 * reach, s * 420, over * 70 + 60),
            "shackle_chassis": self.point(-aft * (620 * reach + 35), s * 420, over * 70 + 170)}
        return {layout: {
            **self.both("", spring),
            "rates": {"vertical_n_per_mm": self.near(32, 15),
                      "lateral_n_per_mm": self.near(300, 150),
                      "twist_nm_per_deg": self.near(8, 4), "clamped_mm": self.near(110, 30)},
            "eye_bush": self.bush(8000, 2000, "lateral")}}

    def bush(self, radial, axial, axis):
        share = 0.8 if self.far else 0.3
        return {"radial_n_per_mm": self.near(radial, share * radial),
                "axial_n_per_mm": self.near(axial, share * axial),
                "conical_nm_per_deg": self.near(15, 10), "torsion_nm_per_deg": self.near(2, 1.9),
                "axis": axis}

    def panhard(self):
        front = self.end == "front"
        side = self.chance.choice((1.0, -1.0))
        # An odd truck's bar is short, and may be steep.
        inner = self.chance.uniform(0.0, 0.6) if self.far else 1.0
        x, low, high = (95, 90, 150) if front else (-140, 60, 115)
        return self.bar((x, -side * 460, low), (x, side * (890 * inner - 460), high))

    def watts(self, on):
        x = 110 if self.end == "front" else -140
        up = self.chance.choice((1.0, -1.0))
        half = self.chance.uniform(0.5, 1.0) if self.far else 1.0
        left = ((x, 0, 70 + up * 60), (x, 430 * half, 70 + up * 60))
        right = ((x, 0, 70 - up * 60), (x, -430 * half, 70 - up * 60))
        if on == "chassis":
            left, right = left[::-1], right[::-1]
        return {"crank_on": on, "pivot": self.point(x, 0, 70, 12),
                "left": self.bar(*left), "right": self.bar(*right)}

    def steering(self, how):
        driver = self.chance.choice((1.0, -1.0))
        ahead = self.chance.random() < 0.4
        x = 155 if ahead else -150
        y = 650 if ahead else 585
        rod = {"left": self.point(x, y, -20, 12)}
        if self.asymmetric:
            rod["right"] = self.point(x, -y, -20, 12)
        pivot, end, shaft = (330, 370 * driver, 190), (170, 370 * driver, 150), "upright"
        near, far = (("left_knuckle", "right_knuckle") if driver > 0
                     else ("right_knuckle", "left_knuckle"))
        if how == "cross_far":
            joint, joins = (170, -555 * driver, 85), far
        elif how == "cross_near":
            pivot, end = (330, -80 * driver, 190), (170, -80 * driver, 150)
            joint, joins = (170, 540 * driver, 85), near
        elif how == "inverted_y":
            joint, joins = (x + 20, -350 * driver, 10), "tie_rod"
        else:
            pivot, end, shaft = (-480, 390 * driver, 340), (-470, 390 * driver, 180), "across"
            joint, joins = (-20, 500 * driver, 150), near
        return {"pitman": {"pivot": self.point(*pivot, 12), "end": self.point(*end, 12),
                           "shaft": shaft},
                "drag_link": {"end": self.point(*joint, 12), "joins": joins},
                "tie_rod": rod, "ratio": self.near(17, 3)}

    def setup(self, left, right):
        radius = self.near(400, 40)
        setup = {
            "lift_mm": left,
            "tire": {"size": "255/85R16", "diameter_mm": round(2 * radius + 24, 2),
                     "loaded_radius_mm": radius},
            "wheel": {"width_mm": 190.0, "offset_mm": self.near(10, 30)},
            "spacer_mm": self.chance.choice((0.0, 0.0, 31.75)),
        }
        if right is not None:
            setup["lift_right_mm"] = right
        return setup

    def parts(self, steering):
        """Corrections fitted in the planned state: none on every other truck."""
        fitted = []
        if self.chance.random() < 0.5:
            return fitted
        maybe = lambda: self.chance.random() < 0.6
        hole = lambda moves, x, y, z: {"bracket": {
            "moves": moves, "holes": [{"name": "a", "x_mm": self.near(x, 4), "y_mm": self.near(y, 4),
                       "z_mm": self.near(z, 4)}], "hole": 0}}
        length = lambda of, spread: {"length": {
            "of": of, "change_mm": self.near(0, spread), "range_mm": [-40.0, 40.0]}}
        if self.sideways == "panhard":
            fitted.append(self.chance.choice((
                hole("panhard_axle", 0, 0, 45),
                hole("panhard_chassis", 5, 0, -40))))
            if maybe():
                fitted.append(length("panhard", 12))
        if self.layout != "leaf_springs" and maybe():
            fitted.append(hole("arm", 20, 6, -40))
        if self.layout == "radius_arms" and maybe():
            turn = self.near(3, 2)
            fitted.append({"turn": {
                "by": "caster_bush", "angle_deg": turn, "choices_deg": [turn]}})
        if "link" in self.layout or "tri" in self.layout:
            if maybe():
                fitted.append(length("upper_link", 10))
        if steering and maybe():
            fitted.append(length("drag_link", 15))
        return fitted

    def positions(self, axle):
        lift = axle["planned"]
        left = lift["lift_mm"]
        right = lift.get("lift_right_mm", left)
        # An odd truck's wheels are turned until some linkages lock.
        swing = self.near(0, 55 if self.far else 28) if self.end == "front" else 0.0
        if self.far:
            both, roll, one = self.near(0, 260), self.near(130, 60), self.near(0, 260)
        else:
            both, roll, one = self.near(0, 100), self.near(50, 30), self.near(0, 90)
        sides = [one, 0.0] if self.chance.random() < 0.5 else [0.0, one]
        at = lambda state, left, right, steer=0.0: {
            "state": state, "travel_mm": [round(left, 2), round(right, 2)], "steer_deg": steer}
        return [
            # As it rests with lift and parts, the travel that the lift implies.
            at("planned", -left, -right),
            at("stock", both, both, swing),
            at("planned", roll - left, -roll - right, swing),
            at(self.chance.choice(("stock", "sitting")), *sides),
            at("planned", 0.0, 0.0, -swing),
        ]
