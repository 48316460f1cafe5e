"""A rig as geometry: which strands there are, where they point, and what their tensions put on things."""

import itertools
import math

import numpy as np

UP = np.array([0.0, 1.0])
# Directions that differ by less are one: far above rounding, far below any angle that a sheet would give.
ALIGNED = 1e-7


class Refused(Exception):
    """The rig has no answer, or none in this phase."""


def turned(vector, degrees):
    """A vector turned clockwise."""
    sin, cos = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    return np.array([[cos, sin], [-sin, cos]]) @ vector


class Met:
    """One thing that a rope meets; `near` and `far` number its strands through the whole rig."""

    def __init__(self, written, near, far):
        self.near, self.far = near, far
        self.kind = written["meets"]
        self.position = written.get("position")
        self.body = written.get("body")
        self.sheave = written.get("sheave", 1) if self.kind == "sheave" else 0
        self.captures = self.kind == "capture" or written.get("capture", False)
        self.becket = written.get("becket", False)
        self.knot = written.get("knot")
        self.off_in_hauling = written.get("off_in_hauling", False)
        self.wrap = 0.0
        if self.kind == "sheave":
            self.wrap = 180.0 - written.get("between_degrees", 0.0)
        if self.kind == "post":
            self.wrap = written["wrap_degrees"]

    def touches(self, hauled):
        """Whether the rope lies on it at all: a post may be left out in hauling."""
        return not (hauled and self.off_in_hauling)

    def passes(self):
        """Whether the rope runs through it, from one strand into another."""
        return self.kind in ("sheave", "post", "capture")


class Rope:
    """A rope: what it meets, from the hand on."""

    def __init__(self, written, first):
        self.position = written["position"]
        self.duty = written.get("duty", "main")
        path = written["path"]
        last = len(path) - 1
        self.strands = range(first, first + last)
        self.met = [
            Met(element, first + i - 1 if i > 0 else None, first + i if i < last else None)
            for i, element in enumerate(path)
        ]
        self.hand = first if self.met[0].kind == "hand" else None

    def captured(self):
        return any(met.captures for met in self.met)


class Rig:
    """A sheet, its strands numbered through all ropes."""

    def __init__(self, sheet):
        self.sheet = sheet
        self.bodies = {body["key"]: body for body in sheet["body"]}
        self.order = {key: place for place, key in enumerate(self.bodies)}
        self.positions = {position["key"]: position for position in sheet["position"]}
        self.load = next(key for key, body in self.bodies.items() if body["kind"] == "load")
        self.travelling = [key for key, body in self.bodies.items() if body["kind"] == "travelling"]
        self.moving = [self.load, *self.travelling]
        self.axis = {key: turned(UP, body.get("line_degrees", 0.0)) for key, body in self.bodies.items()}
        self.ropes = []
        self.strands = 0
        for written in sheet["rope"]:
            rope = Rope(written, self.strands)
            self.strands += len(rope.strands)
            self.ropes.append(rope)
        for met in self.met():
            if met.body is None and met.position is not None:
                met.body = self.positions[met.position]["body"]

    def met(self):
        return [met for rope in self.ropes for met in rope.met]

    def laid(self, hauled):
        """The direction of every strand as a unit vector, away from the hand."""
        directions = np.zeros((self.strands, 2))
        for rope in self.ropes:
            bends = [met.wrap if met.touches(hauled) else 0.0 for met in rope.met[1:-1]]
            turns = list(itertools.accumulate(bends, initial=0.0))
            pairs = list(itertools.pairwise(rope.met))
            known = [(self.in_line(*pair), turn) for pair, turn in zip(pairs, turns)]
            starts = [turned(way, -turn) for way, turn in known if way is not None]
            if not starts:
                raise Refused("unconnected")
            for pair, turn in zip(pairs, turns):
                way = turned(starts[0], turn)
                directions[pair[0].far] = way
                if any(self.leaves_the_line(end.body, way) for end in pair):
                    raise Refused("out of line")
            if any(np.linalg.norm(start - starts[0]) > ALIGNED for start in starts):
                raise Refused("out of line")
        return directions

    def in_line(self, one, other):
        """Where a strand between two bodies points if one of them moves: along its line, up to the first named."""
        movers = [end.body for end in (one, other) if end.body in self.moving]
        if one.body is None or other.body is None or not movers:
            return None
        if one.body == other.body:
            raise Refused("out of line")
        up = self.axis[movers[0]]
        return up if self.order[other.body] < self.order[one.body] else -up

    def leaves_the_line(self, body, way):
        if body not in self.moving:
            return False
        (x, y), (u, v) = self.axis[body], way
        return abs(x * v - y * u) > ALIGNED

    def pulls(self, directions, chosen):
        """The matrix that takes all tensions to the force vector on what is chosen of the things met."""
        matrix = np.zeros((2, self.strands))
        for met in chosen:
            if met.near is not None:
                matrix[:, met.near] -= directions[met.near]
            if met.far is not None:
                matrix[:, met.far] += directions[met.far]
        return matrix
