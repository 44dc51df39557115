"""What a pose means, worked out from the definitions.

Slopes along heave and roll are those of the pose's own equations (implicit function theorem),
carried on by complex steps.
"""

import math

import numpy as np
from scipy.spatial.transform import Rotation

from linkage import value, vector, mirrored
from pose import STIFFNESS, wheel_y
from quaternions import conjugate, product, turned
from steering import SIDES, Gear, heading, kingpins

NAMES = ("left", "right")
# Lines this near to parallel meet too far away to speak of, rad/mm.
PARALLEL = 1e-5
TINY = 1e-30
# Less steer than this is straight ahead, rad.
STRAIGHT = 1e-3


def lift(setup):
    left = value(setup["lift_mm"])
    right = setup.get("lift_right_mm")
    return left, left if right is None else value(right)


def rim_y(axle, state):
    """Rim's middle from the centerline, spacer included, mm."""
    setup = axle[state]
    return (value(axle["hub_face_width_mm"]) / 2 - value(setup["wheel"]["offset_mm"])
            + value(setup["spacer_mm"]))


class Motion:
    """How the axle moves along one way of moving its wheels."""

    def __init__(self, solution, by_travel):
        count = solution.problem.unknowns
        # Translation and quaternion of the axle, and of all unknowns.
        self.ds, self.dq = by_travel[:3], by_travel[3:7] / 1000.0
        self.all = by_travel
        _, q = solution.axle()
        self.spin = 2 * product(self.dq, conjugate(q))[1:]
        self.force = -by_travel[count + solution.problem.count :][:2] * STIFFNESS

    def speed(self, shift, point):
        """Velocity of the point of the axle that is now at `point`."""
        return self.ds + np.cross(self.spin, point - shift)


def outputs(truck, end, state, solution, steer_deg, held=None):
    """Every output by its key; None where it has no meaning. The wheels are turned by `steer_deg` on
    average, or as the pitman arm `held` at an angle has it."""
    axle = truck[end]
    setup = axle[state]
    shift, q = solution.axle()
    turn = Rotation.from_quat(q, scalar_first=True)
    left, right = solution.problem.by_travel(solution.z, solution.travel)
    heave, roll = Motion(solution, left + right), Motion(solution, left - right)
    radius = value(setup["tire"]["loaded_radius_mm"])
    ground = shift[2] - radius

    out = Attitudes()
    # R = Rz(steer) Rx(roll) Ry(pitch) is the intrinsic sequence Z, X, Y.
    axle_steer, roll_angle, _ = turn.as_euler("ZXY", degrees=True)
    out["lateral_shift_mm"] = shift[1]
    out["axle_steer_deg"] = axle_steer
    out["roll_deg"] = roll_angle
    rise = math.radians(value(axle["pinion"]["angle_deg"]))
    nose = -1.0 if end == "front" else 1.0
    flange = turn.apply([nose * math.cos(rise), 0.0, math.sin(rise)])
    out["pinion_deg"] = math.degrees(math.asin(flange[2]))
    longer = 1.0 if end == "front" else -1.0
    for side, name in zip(SIDES, NAMES):
        center = shift + turn.apply([0.0, side * wheel_y(axle), 0.0])
        out[f"wheelbase_change_{name}_mm"] = longer * center[0]

    bar = members(out, axle, solution, shift, turn)
    motions(out, axle, solution, shift, q, heave, roll, ground)
    sideways(out, axle, bar, shift, turn, ground)
    drive = ("mean", math.radians(steer_deg)) if held is None else ("pitman", held)
    steered(out, truck, end, state, solution, drive, bar, heave)
    balance(out, truck, end, state, shift, turn, heave, radius)
    return {k: None if v is None else float(v) for k, v in out.items()}


KEYS = """
lateral_shift_mm axle_steer_deg roll_deg caster_deg caster_left_deg caster_right_deg pinion_deg
panhard_deg roll_centre_height_mm roll_centre_kinematic_mm instant_centre_x_mm instant_centre_z_mm
anti_dive_percent anti_lift_percent anti_squat_percent roll_steer_percent
arm_roll_stiffness_nm_per_deg jacking_n_per_kn wheelbase_change_left_mm wheelbase_change_right_mm
trail_left_mm trail_right_mm scrub_radius_left_mm scrub_radius_right_mm arm_left_deg arm_right_deg
upper_link_left_deg upper_link_right_deg spring_ratio_left spring_ratio_right shock_ratio_left
shock_ratio_right steer_left_deg steer_right_deg toe_deg bump_steer_left_deg_per_25mm
bump_steer_right_deg_per_25mm bump_toe_mm_per_25mm steering_wheel_deg drag_link_deg drag_panhard_deg drag_panhard_length_mm ackermann_deg
turning_circle_mm
""".split()


class Attitudes(dict):
    """All outputs, none of which has a meaning until it is set."""

    def __init__(self):
        super().__init__(dict.fromkeys(KEYS))

    def __setitem__(self, key, number):
        if key not in self:
            raise KeyError(key)
        super().__setitem__(key, number)


# What a sweep with the pitman arm held is asked about.
SWEPT = ["lateral_shift_mm", "roll_deg", "caster_deg", "steer_left_deg", "steer_right_deg",
         "toe_deg", "bump_steer_left_deg_per_25mm", "bump_toe_mm_per_25mm"]


def straight_pitman(truck, end, state, solution):
    """Where the pitman arm stands with the road wheels straight on average; None without one."""
    axle = truck[end]
    if not axle.get("steering"):
        return None
    gear = Gear(axle, axle[state].get("parts", []))
    u = gear.solve(*solution.axle(), ("straight", None))
    return None if u is None else u[2]


# What bushes are called, in the order of the linkage's arrays: of each side.
PLACES = {
    "radius_arms": ("arm_far", "arm_near", "arm_eye"),
    "leaf_springs": (None, None, "fixed_eye", "shackle_eye", "shackle_chassis"),
}


def reactions(axle, solution):
    """What each bush carries: place, side, then force (N) and moment about the bush (N mm) on what
    the arm or leaf is bolted to, chassis axes, and how far it has shifted (mm) and turned (rad).

    Force and moment are how fast the rubber's energy falls as the bolted body alone moves."""
    kind, = axle["layout"]
    if kind not in PLACES:
        return []
    problem = solution.problem
    rates = problem.linkage.numbers["rates"]
    ends = problem.bush_ends(solution.z[: problem.unknowns])
    place = problem.linkage.numbers["on_body"]
    s, q = ends[:, 7:10], ends[:, 10:] / 1000.0
    center = s + turned(q, place)
    steps = []
    for axis in np.eye(3):
        moved = ends.astype(complex)
        moved[:, 7:10] += 1j * TINY * axis
        steps.append(moved)
    for axis in np.eye(3):
        moved = ends.astype(complex)
        swing = np.concatenate([[1.0], 1j * TINY * axis / 2])
        there = product(swing + 0 * q, q)
        moved[:, 10:] = there * 1000.0
        moved[:, 7:10] = center - turned(there, place)
        steps.append(moved)
    strain, _ = problem.strains(np.array(steps))
    load = -((strain**2 * rates).sum(-1) / 2).imag / TINY
    now, _ = problem.strains(ends)
    found = []
    for i, loads in enumerate(load.T):
        name = PLACES[kind][i % len(PLACES[kind])]
        if name:
            side = NAMES[i // len(PLACES[kind])]
            found.append([name, side, [*loads], float(np.linalg.norm(now[i, :3])),
                          float(np.linalg.norm(now[i, 3:]))])
    return found


def members(out, axle, solution, shift, turn):
    """Angles of the members; gives back the Panhard bar's ends."""
    linkage = solution.problem.linkage
    n = linkage.numbers
    slope = lambda low, high: math.degrees(math.atan2(high[2] - low[2], abs(high[0] - low[0])))
    ends = {name: (shift + turn.apply(n["axle"][i]), n["chassis"][i])
            for i, name in enumerate(linkage.names)}
    # An arm runs from the middle of its axle bushes to its eye, a leaf from where its fixed half
    # pivots.
    on = {"radius_arms": ((0, 1, 2), (3, 4, 5)), "leaf_springs": ((0, 0, 2), (5, 5, 7))}
    for kind, rows in on.items():
        if kind in axle["layout"]:
            s, q = solution.problem.bodies(solution.z[: solution.problem.unknowns])
            for name, (far, near, eye) in zip(NAMES, rows):
                body = linkage.arm[eye]
                place = lambda i: s[body] + turned(q[body], n["on_arm"][i])
                out[f"arm_{name}_deg"] = slope((place(far) + place(near)) / 2, place(eye))
    for key, name in (("arm_left_deg", "lower_left"), ("arm_right_deg", "lower_right"),
                      ("upper_link_left_deg", "upper"),
                      ("upper_link_left_deg", "upper_left"),
                      ("upper_link_right_deg", "upper_right")):
        if name in ends:
            out[key] = slope(*ends[name])
    bar = ends.get("panhard")
    if bar:
        low, high = bar
        out["panhard_deg"] = math.degrees(math.atan2(high[2] - low[2], abs(high[1] - low[1])))
        out["jacking_n_per_kn"] = 1000 * (high[2] - low[2]) / abs(high[1] - low[1])
    return bar


def motions(out, axle, solution, shift, q, heave, roll, ground):
    """What follows from how the axle moves."""
    # No sideways velocity at the middle of the truck: v_y = s' - w_x (z - s_z).
    out["roll_centre_kinematic_mm"] = shift[2] + roll.ds[1] / roll.spin[0] - ground
    # The pole in the plane y = 0.
    w = heave.spin
    if abs(w[1]) >= PARALLEL:
        middle = heave.speed(shift, np.array([shift[0], 0.0, shift[2]]))
        out["instant_centre_x_mm"] = shift[0] + middle[2] / w[1]
        out["instant_centre_z_mm"] = shift[2] - middle[0] / w[1] - ground

    # Steer = atan2(-R01, R11) and roll = asin(R21), along opposite travel.
    y = turned(q + 1j * TINY * roll.dq, np.array([0.0, 1.0, 0.0]))
    steer_rate, roll_rate = np.arctan(-y[0] / y[1]).imag, np.arcsin(y[2]).imag
    out["roll_steer_percent"] = 100 * steer_rate / roll_rate
    if solution.problem.linkage.arm:
        couple = (roll.force[0] - roll.force[1]) * wheel_y(axle)
        out["arm_roll_stiffness_nm_per_deg"] = (
            couple / (roll_rate / TINY) / 1000 * math.pi / 180)

    for what in ("spring", "shock"):
        if what not in axle:
            continue
        ends = {k: vector(v) for k, v in axle[what].items()}
        for name, place in zip(NAMES, (lambda p: p, mirrored)):
            at = (shift + 1j * TINY * heave.ds
                  + turned(q + 1j * TINY * heave.dq, place(ends["axle"])) - place(ends["chassis"]))
            out[f"{what}_ratio_{name}"] = -np.sqrt((at * at).sum()).imag / TINY


def sideways(out, axle, bar, shift, turn, ground):
    """The roll center by construction."""
    if bar:
        # The bar's line at y = 0.
        (_, y0, z0), (_, y1, z1) = bar
        out["roll_centre_height_mm"] = z0 - y0 * (z1 - z0) / (y1 - y0) - ground
    elif axle.get("watts"):
        pivot = vector(axle["watts"]["pivot"])
        if axle["watts"]["crank_on"] == "axle":
            pivot = shift + turn.apply(pivot)
        out["roll_centre_height_mm"] = pivot[2] - ground
    else:
        out["roll_centre_height_mm"] = out["roll_centre_kinematic_mm"]


def steered(out, truck, end, state, solution, drive, bar, heave):
    """Casters, steering, and where the wheels stand; none of it where the linkage cannot be
    assembled."""
    axle = truck[end]
    setup = axle[state]
    radius = value(setup["tire"]["loaded_radius_mm"])
    y = rim_y(axle, state)
    shift, q = solution.axle()
    turn = Rotation.from_quat(q, scalar_first=True)
    if not axle.get("kingpin"):
        k = turn.apply([0.0, 0.0, 1.0])
        out["caster_deg"] = math.degrees(math.atan2(-k[0], k[2]))
        return

    axes = kingpins(axle)
    lean = []
    for name, (_, axis) in zip(NAMES, axes):
        now = turn.apply(axis)
        lean.append(math.degrees(math.atan2(-now[0], now[2])))
        out[f"caster_{name}_deg"] = lean[-1]
    out["caster_deg"] = sum(lean) / 2

    # Without a linkage both wheels turn alike.
    steer = drive[1] if drive[0] == "mean" else 0.0
    turns = [steer, steer]
    gear = Gear(axle, setup.get("parts", [])) if axle.get("steering") else None
    if gear:
        straight = gear.solve(shift, q, ("straight", None))
        if straight is not None:
            out["steering_wheel_deg"] = math.degrees(straight[2]) * gear.ratio * gear.sense()
        u = gear.solve(shift, q, drive)
        if u is None:
            return
        turns = u[:2]
        steer = (u[0] + u[1]) / 2
        bump(out, gear, u, shift, q, heave, setup)
        drag(out, axle, gear, u, shift, q, bar)

    wheels, feet = [], []
    for side, name, (point, axis), angle in zip(SIDES, NAMES, axes, turns):
        now = turn.apply(axis)
        swing = Rotation.from_rotvec(now / np.linalg.norm(now) * angle)
        pivot = shift + turn.apply(point)
        center = pivot + swing.apply(shift + turn.apply([0.0, side * y, 0.0]) - pivot)
        wheel = Wheel(center, swing, turn, radius)
        foot = pivot + now * ((wheel.contact[2] - pivot[2]) / now[2])
        outboard = side * np.cross([0.0, 0.0, 1.0], wheel.heading)
        out[f"trail_{name}_mm"] = (foot - wheel.contact) @ wheel.heading
        out[f"scrub_radius_{name}_mm"] = -(foot - wheel.contact) @ outboard
        out[f"steer_{name}_deg"] = math.degrees(math.atan2(wheel.heading[1], wheel.heading[0]))
        wheels.append(wheel)
        feet.append(foot)
    out["toe_deg"] = out["steer_right_deg"] - out["steer_left_deg"]
    if gear and abs(steer) >= STRAIGHT:
        corner(out, truck, shift, wheels, feet, steer)


class Wheel:
    """A wheel's lowest point and heading."""

    def __init__(self, center, swing, turn, radius):
        # The rim is center + radius (ahead cos a + up sin a); its lowest point is the contact.
        ahead, up = swing.apply(turn.apply(np.eye(3)[[0, 2]]))
        a = math.atan2(-up[2], -ahead[2])
        self.contact = center + radius * (ahead * math.cos(a) + up * math.sin(a))
        # Where the tread runs at the contact, level, is where the wheel heads.
        heading = -ahead * math.sin(a) + up * math.cos(a)
        self.heading = heading if heading[0] >= 0 else -heading


def bump(out, gear, u, shift, q, heave, setup):
    """How the wheels steer as both rise, the pitman arm held."""
    du = gear.carried(u, shift, q, heave.ds, heave.dq, ("pitman", u[2]))
    rates = []
    for i, name in enumerate(NAMES):
        rate = heading(gear.kingpins[i], q + 1j * TINY * heave.dq, u[i] + 1j * TINY * du[i])
        rates.append(rate.imag / TINY * 25)
        out[f"bump_steer_{name}_deg_per_25mm"] = math.degrees(rates[-1])
    out["bump_toe_mm_per_25mm"] = (rates[1] - rates[0]) * value(setup["tire"]["diameter_mm"])


def drag(out, axle, gear, u, shift, q, bar):
    """The drag link in front view, and against the bar."""
    _, joint, pitman = gear.places(u, shift, q)
    rise, across = pitman[2] - joint[2], pitman[1] - joint[1]
    if axle["steering"]["pitman"]["shaft"] == "across":
        return
    out["drag_link_deg"] = math.degrees(math.atan2(rise, abs(across)))
    if bar:
        low, high = bar
        angle = (math.atan(rise / across)
                 - math.atan((high[2] - low[2]) / (high[1] - low[1])))
        # Of two lines, the turn that is under a quarter.
        angle -= math.pi * round(angle / math.pi)
        out["drag_panhard_deg"] = math.degrees(angle)
        out["drag_panhard_length_mm"] = (math.hypot(rise, across)
                                         - math.hypot(high[1] - low[1], high[2] - low[2]))


def corner(out, truck, shift, wheels, feet, steer):
    """Ackermann's condition and the turning circle, as if the rear axle's line were fixed."""
    wheelbase = value(truck["wheelbase_mm"])
    yaw = math.radians(out["axle_steer_deg"])
    own = [math.radians(out[f"steer_{name}_deg"]) - yaw for name in NAMES]
    inner, outer = (0, 1) if steer > 0 else (1, 0)
    spacing = math.hypot(*(feet[0] - feet[1])[:2])
    ideal = math.atan(1 / (1 / math.tan(abs(own[inner])) + spacing / wheelbase))
    out["ackermann_deg"] = math.degrees(abs(own[outer]) - ideal)
    forward = np.array([math.cos(yaw), math.sin(yaw)])
    ahead = (wheels[outer].contact - shift)[:2] @ forward
    out["turning_circle_mm"] = 2 * (wheelbase + ahead) / math.sin(abs(own[outer]))


def balance(out, truck, end, state, shift, turn, heave, radius):
    """Pitching under brakes and drive, wheels straight."""
    axle = truck[end]
    given = truck.get("balance") or {
        "cg_height_mm": 720.0, "front_brake_percent": 65.0, "front_drive_percent": 0.0}
    brake = value(given["front_brake_percent"]) / 100
    drive = value(given["front_drive_percent"]) / 100
    height = (value(given["cg_height_mm"]) + sum(lift(axle[state])) / 2
              + radius - value(axle["stock"]["tire"]["loaded_radius_mm"]))
    y = rim_y(axle, state)
    contacts = [Wheel(shift + turn.apply([0.0, side * y, 0.0]), Rotation.identity(), turn,
                      radius).contact for side in SIDES]
    forward = heave.speed(shift, (contacts[0] + contacts[1]) / 2)[0]
    lever = 100 * forward * value(truck["wheelbase_mm"]) / height
    if end == "front":
        out["anti_dive_percent"] = brake * lever
    else:
        out["anti_lift_percent"] = -(1 - brake) * lever
        out["anti_squat_percent"] = -(1 - drive) * lever
