"""Balance: the tensions of all strands in a phase, and what they put on everything."""

import itertools
import math

import numpy as np

import legs
from rig import Refused

# What is left of a tension that is nothing, as a share of the largest.
ROUNDING = 1e-13
# A tension below this share of the largest is none.
NOTHING = 1e-9
# Equations worse conditioned than this say the same thing twice.
SINGULAR = 1e13
# The phases in which the main rope is slack and another holds.
ON_ANOTHER = ("on-belay", "belay-catch")


def ratios(met, friction, phase, only_lowers):
    """What the far tension over the near one is likely to be at a passage, and all that it may be at the ends."""
    hauled = phase in ("hauling", "stuck-load")
    if met.kind == "capture" or phase == "frictionless":
        return 1.0, [1.0]
    rubs = friction[met.position]
    radians = math.radians(met.wrap)
    if met.kind == "post":
        lowering = [math.exp(mu * radians) for mu in rubs["post"]]
        hauling = [1.0 / ratio for ratio in lowering]
    else:
        hauling = [e ** (met.wrap / 180.0) for e in rubs["efficiency"]]
        lowering = [1.0 / ratio for ratio in hauling]
        if met.captures and "standing" in rubs:
            lowering = [math.exp(mu * radians) for mu in rubs["standing"]]
    if only_lowers or not met.touches(hauled=True):
        hauling = [1.0, 1.0, 1.0]
    if hauled:
        return hauling[1], ends(hauling)
    if phase == "lowering":
        return lowering[1], ends(lowering)
    if phase in ON_ANOTHER:
        return lowering[1], ends([1.0, *lowering] if met.kind == "sheave" else lowering)
    return 1.0, ends([*hauling, *lowering])


def ends(values):
    return sorted({min(values), max(values)})


def corners_of(choices):
    """All combinations of ends, after the likely one."""
    likely = [likely for likely, _ in choices]
    return np.array([likely, *itertools.product(*(ends for _, ends in choices))])


def catching(rig):
    """The ropes that may each be left alone to catch the load."""
    return [rope for rope in rig.ropes if rope.duty in ("belay", "twin")]


def cases(rig, phase):
    """The ropes whose hand is slack, and the ropes whose capture holds: one pair for each case of a phase."""
    handed = [rope for rope in rig.ropes if rope.hand is not None]
    working = [rope for rope in handed if rope.duty != "belay"]
    standing_by = [rope for rope in handed if rope.duty == "belay"]
    if phase in ON_ANOTHER:
        if not catching(rig):
            raise Refused("no rope catches")
        return [
            ([rope for rope in handed if rope is not catcher or rope.captured()], [catcher])
            for catcher in catching(rig)
        ]
    if phase == "held":
        holds = [rope for rope in rig.ropes if rope.duty != "belay" and rope.captured()]
        if not holds or (working[0].duty == "twin" and len(holds) < 2):
            raise Refused("no capture")
        return [(handed, holds)]
    if phase in ("hauling", "stuck-load") and rig.sheet.get("only_lowers", False):
        raise Refused("only lowers")
    return [(standing_by, [])]


def tensions(rig, friction, phase, load, case, directions):
    """The tensions of all strands in every combination of what is not known; the first is the likely one."""
    slack, holds = case
    held = [met for rope in holds for met in rope.met if met.captures]
    passages = [met for met in rig.met() if met.passes() and met not in held]
    twins = [rope for rope in rig.ropes if rope.duty == "twin"]
    shared = twins and phase not in ON_ANOTHER
    only_lowers = rig.sheet.get("only_lowers", False)
    choices = [ratios(met, friction, phase, only_lowers) for met in passages]
    likely_half = (0.5, [0.5] if phase == "frictionless" else [0.0, 1.0])
    choices.append(likely_half if shared else (1.0, [1.0]))
    corners = corners_of(choices)
    rows, wanted = [], []

    def add(row, value=0.0):
        rows.append(np.broadcast_to(row, (len(corners), rig.strands)))
        wanted.append(np.broadcast_to(value, len(corners)))

    for met, ratio in zip(passages, corners.T):
        row = np.zeros((len(corners), rig.strands))
        row[:, met.far], row[:, met.near] = 1.0, -ratio
        add(row)
    for rope in slack:
        add(np.eye(rig.strands)[rope.hand])
    for body in rig.travelling:
        on_it = [met for met in rig.met() if met.body == body]
        add(rig.axis[body] @ rig.pulls(directions, on_it))
    shares = zip(twins, (corners[:, -1], 1.0 - corners[:, -1])) if shared else [(None, 1.0)]
    for rope, share in shares:
        on_it = [met for met in (rope.met if rope else rig.met()) if met.body == rig.load]
        add(rig.axis[rig.load] @ rig.pulls(directions, on_it), share * load)
    if len(rows) != rig.strands:
        raise Refused("unbalanced")
    matrix = np.stack(rows, axis=1)
    if np.linalg.cond(matrix[0]) > SINGULAR:
        raise Refused("singular")
    try:
        solved = np.linalg.solve(matrix, np.stack(wanted, axis=1)[..., None])[..., 0]
    except np.linalg.LinAlgError:
        raise Refused("singular") from None
    solved[np.abs(solved) <= ROUNDING * np.abs(solved).max(axis=1, keepdims=True)] = 0.0
    return solved


def checked(rig, solved, case, phase):
    """Refuses ropes that push, and ropes that are slack without being meant to."""
    least = solved.min() / max(solved.max(), 1e-300)
    if least < -NOTHING:
        raise Refused("pushes")
    if phase not in ("held", *ON_ANOTHER) and not any(rope.duty == "twin" for rope in rig.ropes):
        idle = [strand for rope in case[0] for strand in rope.strands]
        pulled = np.delete(solved, idle, axis=1)
        if (pulled <= NOTHING * solved.max()).any():
            raise Refused("slack")
    return solved


def answer(rig, friction, phase, given):
    """Every force of a phase, as bands over all combinations."""
    hauled = phase in ("hauling", "stuck-load")
    directions = rig.laid(hauled)
    stuck = phase == "stuck-load"
    solved = []
    for case in cases(rig, phase):
        found = tensions(rig, friction, phase, 1.0 if stuck else given, case, directions)
        solved.append(checked(rig, found, case, phase))
    if stuck:
        hands = [rope.hand for rope in rig.ropes if rope.hand is not None and rope.duty != "belay"]
        solved = [found * (given / found[:, hands].sum(axis=1, keepdims=True)) for found in solved]
    return Told(rig, directions, solved, phase).everything()


class Told:
    """What the tensions of a phase put on everything."""

    def __init__(self, rig, directions, solved, phase):
        self.rig, self.directions, self.phase = rig, directions, phase
        self.solved = np.concatenate(solved)
        self.none = legs.NONE * self.solved.max()
        self.firsts = np.cumsum([0, *(len(found) for found in solved[:-1])])

    def band(self, values):
        """Lowest, likely and highest. Of several ropes that may catch, the likely one is the one that catches."""
        return [float(values.min()), float(values[self.firsts].max()), float(values.max())]

    def vectors(self, chosen):
        return self.solved @ self.rig.pulls(self.directions, chosen).T

    def force(self, chosen):
        return np.linalg.norm(self.vectors(chosen), axis=1)

    def everything(self):
        rig = self.rig
        pulling = {rope.position: self.solved[:, rope.hand] for rope in rig.ropes if rope.hand is not None}
        pulling = {key: pull for key, pull in pulling.items() if pull.max() > 0.0}
        on_load = self.vectors([met for met in rig.met() if met.body == rig.load]) @ rig.axis[rig.load]
        gain = None
        if len(pulling) == 1:
            (pull,) = pulling.values()
            gain = self.band(on_load / pull) if pull.min() > 0.0 else None
        return {
            "load": self.band(on_load),
            "hands": {key: self.band(pull) for key, pull in pulling.items()},
            "advantage": gain,
            "parts": {
                f"{rope.position}:{number}": self.band(self.solved[:, strand])
                for rope in rig.ropes
                for number, strand in enumerate(rope.strands)
                if self.solved[:, strand].max() > 0.0
            },
            "sheaves": {
                f"{met.position}:{met.sheave}": self.band(self.force([met]))
                for met in rig.met()
                if met.kind in ("sheave", "post")
            },
            "bodies": {
                key: self.band(self.force(self.on_body(key)))
                for key in rig.bodies
                if key not in rig.travelling
            },
            "positions": self.positions(),
            "legs": [
                {
                    "leg": leg,
                    "off": off,
                    "along": self.band(along),
                    "aside": self.band(along * math.sin(math.radians(off))),
                }
                for leg, off, along, _ in self.legs()
            ],
        }

    def on_body(self, key):
        return [met for met in self.rig.met() if met.body == key]

    def on_position(self, key):
        return [met for met in self.rig.met() if met.position == key]

    def carried(self, hung):
        """What a chain or a bridle carries: the things met there."""
        if "carries_body" in hung:
            return self.on_body(hung["carries_body"])
        return self.on_position(hung["carries_position"])

    def legs(self):
        """Number, angle, force and positions of every leg."""
        sheet = self.rig.sheet
        for hung in sheet.get("bridle", []):
            offs = [leg["off_degrees"] for leg in hung["leg"]]
            rows = [leg["positions"] for leg in hung["leg"]]
            yield from self.hanging(offs, rows, hung)
        for line in sheet.get("line", []):
            first = line.get("from_first_metres", line["span_metres"] / 2.0)
            asides = (first, line["span_metres"] - first)
            offs = [math.degrees(math.atan2(aside, line["sag_metres"])) for aside in asides]
            yield from self.hanging(offs, [line["first"], line["second"]], line)
        for tripod in sheet.get("tripod", []):
            chain = next(chain for chain in sheet["chain"] if tripod["position"] in chain["positions"])
            pushed = legs.most_pushed(tripod["leg_degrees"], self.vectors(self.carried(chain)), self.none)
            yield 0, tripod["leg_degrees"], pushed, []

    def hanging(self, offs, rows, hung):
        along = legs.hung_on(offs, self.vectors(self.carried(hung)), self.none)
        for number, (off, row) in enumerate(zip(offs, rows)):
            yield number + 1, off, along[:, number], row

    def positions(self):
        """By position and mode, a band for each place where it is loaded so."""
        rig, told = self.rig, {}

        def tell(key, mode, values, knot=None):
            told.setdefault(f"{key} {mode}", []).append([knot, self.band(values)])

        for key in dict.fromkeys(met.position for met in rig.met() if met.position is not None):
            tell(key, rig.positions[key]["loaded"], self.force(self.on_position(key)))
        for rope in rig.ropes:
            tell(rope.position, "straight", self.solved[:, rope.strands].max(axis=1))
            for met in rope.met:
                if met.kind == "end":
                    pull = self.force([met])
                    tell(rope.position, "terminated", pull, met.knot)
                    if met.becket:
                        tell(met.position, "becket", pull)
        for chain in rig.sheet.get("chain", []):
            for key in chain["positions"]:
                tell(key, rig.positions[key]["loaded"], self.force(self.carried(chain)))
        for _, _, along, row in self.legs():
            for key in row:
                tell(key, rig.positions[key]["loaded"], along)
        return told
