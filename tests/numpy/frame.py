"""Legs of tripods and bridles by a general library for structures, as rows of published/rigging.csv.

Run by hand, with the version that the rows name: pip install pynitefea==3.2.0 && python frame.py
"""

import importlib.metadata
import math

from Pynite import FEModel3D

SOURCE = f"frame of pin-ended legs in space, solved by PyNiteFEA {importlib.metadata.version('PyNiteFEA')}"


def along(ways, force):
    """The push along each leg from a head that a force pulls on; the legs run from the head in these ways."""
    frame = FEModel3D()
    frame.add_material("metal", 70e6, 26e6, 0.3, 27.0)
    frame.add_section("tube", 1e-3, 1e-6, 1e-6, 2e-6)
    frame.add_node("head", 0.0, 0.0, 0.0)
    # A leg has pins at both ends, and nothing but the plane of a bridle holds its point from falling over.
    flat = all(abs(way[2]) < 1e-12 for way in ways)
    frame.def_support("head", False, False, flat, True, True, True)
    for number, way in enumerate(ways):
        foot, leg = f"foot {number}", f"leg {number}"
        frame.add_node(foot, *(3.0 * part for part in way))
        frame.def_support(foot, True, True, True, True, True, True)
        frame.add_member(leg, "head", foot, "metal", "tube")
        frame.def_releases(leg, Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    for axis, part in zip(("FX", "FY", "FZ"), force):
        frame.add_node_load("head", axis, part)
    frame.analyze_linear()
    return [float(frame.members[f"leg {number}"].max_axial("Combo 1")) for number in range(len(ways))]


def sheave(between, hand, load):
    """What two strands pull with, one straight down and one that leaves to the left of it."""
    off = math.radians(between)
    return -hand * math.sin(off), -load - hand * math.cos(off), 0.0


def tripod(off, force):
    """The push on the worst leg, the tripod turned in steps of 5 degrees under the force."""
    sin, cos = math.sin(math.radians(off)), math.cos(math.radians(off))
    pushes = []
    for turn in range(0, 360, 5):
        around = [math.radians(turn + third) for third in (0, 120, 240)]
        pushes += along([(sin * math.cos(at), -cos, sin * math.sin(at)) for at in around], force)
    assert min(pushes) > 0.0, "it tips"
    return max(pushes)


def bridle(left, right, force):
    """The pull on the left leg and on the right one."""
    left, right = math.radians(left), math.radians(right)
    ways = [(-math.sin(left), math.cos(left), 0.0), (math.sin(right), math.cos(right), 0.0)]
    return [-push for push in along(ways, force)]


def row(case, inputs, value):
    print(f"{SOURCE};{case};{inputs};{value:.6f};5e-07")


if __name__ == "__main__":
    for off, between in ((25, 0), (30, 0), (25, 15), (20, 10), (45, 40), (5, 2)):
        row("tripod-leg", f"leg_deg={off} between_deg={between} load_kn=1", tripod(off, sheave(between, 1.0, 1.0)))
    for left, right, between in ((20, 50, 0), (40, 40, 30), (30, 60, 20), (50, 70, 0)):
        for ask, pull in zip(("left", "right"), bridle(left, right, sheave(between, 1.0, 1.0))):
            inputs = f"left_deg={left} right_deg={right} between_deg={between} load_kn=1 ask={ask}"
            row("bridle-leg", inputs, pull)
    # A catch of 6 kN runs over the pulley at the head without loss.
    for rig in ("tripod-with-belay", "tripod-with-belay-clamp"):
        inputs = f"rig={rig} e=1 load_kn=6 phase=belay-catch ask=leg:1"
        row("rig", inputs, tripod(25, sheave(15, 6.0, 6.0)))
    # The hand of a 4:1 without loss adds a quarter of the load.
    inputs = "rig=bridle-high-point e=1 load_kn=2 phase=hauling ask=leg:2"
    row("rig", inputs, bridle(30, 30, (0.0, -2.5, 0.0))[1])
