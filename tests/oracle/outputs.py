"""What a pose means, worked out from the definitions with SciPy's rotations."""

import math

import numpy as np
from scipy.spatial.transform import Rotation

from pose import value, wheel_y


def outputs(axle, end, state, linkage, shift, turn, steer_deg):
    """Every output by its key; `turn` is a scipy Rotation, chassis from axle."""
    out = {}
    # R = Rz(steer) Rx(roll) Ry(pitch) is the intrinsic sequence Z, X, Y.
    steer, roll, _ = turn.as_euler("ZXY", degrees=True)
    out["lateral_shift_mm"] = shift[1]
    out["axle_steer_deg"] = steer
    out["roll_deg"] = roll

    setup = axle[state]
    radius = value(setup["tire"]["loaded_radius_mm"])
    hub = value(axle["hub_face_width_mm"]) / 2
    y = hub - value(setup["wheel"]["offset_mm"]) + value(setup["spacer_mm"])
    kingpin = axle.get("kingpin")
    if kingpin:
        casters = []
        for side, name in ((1, "left"), (-1, "right")):
            lean = math.tan(math.radians(value(kingpin["caster_deg"])))
            inward = math.tan(math.radians(value(kingpin["inclination_deg"])))
            stock_axis = np.array([-lean, -side * inward, 1.0])
            stock_point = np.array([
                value(kingpin["hub_trail_mm"]),
                side * (hub - value(kingpin["hub_offset_mm"])), 0.0])
            axis = turn.apply(stock_axis)
            caster = math.degrees(math.atan2(-axis[0], axis[2]))
            casters.append(caster)
            out[f"caster_{name}_deg"] = caster

            unit = axis / np.linalg.norm(axis)
            swing = Rotation.from_rotvec(unit * math.radians(steer_deg))
            pivot = shift + turn.apply(stock_point)
            centre = pivot + swing.apply(shift + turn.apply([0.0, side * y, 0.0]) - pivot)
            # The wheel's rim is centre + radius (ahead cos a + up sin a); its lowest point is the
            # contact.
            ahead = swing.apply(turn.apply([1.0, 0.0, 0.0]))
            up = swing.apply(turn.apply([0.0, 0.0, 1.0]))
            a = math.atan2(-up[2], -ahead[2])
            contact = centre + radius * (ahead * math.cos(a) + up * math.sin(a))
            # Where the tread runs at the contact, level, is where the wheel heads.
            heading = -ahead * math.sin(a) + up * math.cos(a)
            if heading[0] < 0:
                heading = -heading
            at_ground = pivot + axis * ((contact[2] - pivot[2]) / axis[2])
            outboard = side * np.cross([0.0, 0.0, 1.0], heading)
            out[f"trail_{name}_mm"] = (at_ground - contact) @ heading
            out[f"scrub_radius_{name}_mm"] = -(at_ground - contact) @ outboard
        out["caster_deg"] = sum(casters) / 2
    else:
        k = turn.apply([0.0, 0.0, 1.0])
        out["caster_deg"] = math.degrees(math.atan2(-k[0], k[2]))

    rise = math.radians(value(axle["pinion"]["angle_deg"]))
    nose = -1.0 if end == "front" else 1.0
    flange = turn.apply([nose * math.cos(rise), 0.0, math.sin(rise)])
    out["pinion_deg"] = math.degrees(math.asin(flange[2]))

    bar = linkage["panhard"]
    low, high = shift + turn.apply(bar["axle"]), bar["chassis"]
    out["panhard_deg"] = math.degrees(math.atan2(high[2] - low[2], abs(high[1] - low[1])))
    # The bar's line at y = 0, above a ground one loaded radius under the mean of the wheel centres.
    at_plane = np.interp(0.0, *zip(*sorted([(low[1], low[2]), (high[1], high[2])])))
    stock = wheel_y(axle)
    wheels = [shift + turn.apply([0.0, side * stock, 0.0]) for side in (1, -1)]
    out["roll_centre_height_mm"] = at_plane - ((wheels[0][2] + wheels[1][2]) / 2 - radius)

    longer = 1.0 if end == "front" else -1.0
    out["wheelbase_change_left_mm"] = longer * wheels[0][0]
    out["wheelbase_change_right_mm"] = longer * wheels[1][0]
    return {k: float(v) for k, v in out.items()}
