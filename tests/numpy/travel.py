"""How far the hand pulls for a metre of lift: from the lengths of strands, never from forces."""

import itertools

import numpy as np

from rig import Refused


def of(rig):
    """For a metre that the load rises: the rope that comes in at each hand, and how far each body travels.

    Between two ties (a grab, a made end, the hand) a rope keeps its length, whatever its strands do, and a strand
    grows by how far its ends move along it. All ties together say how everything that is free moves.
    """
    directions = rig.laid(hauled=False)
    column = {body: place for place, body in enumerate(rig.travelling)}
    hands = [rope for rope in rig.ropes if rope.duty != "belay" and rope.hand is not None]
    width = len(column) + len(hands)
    rows, wanted = [], []
    for rope in rig.ropes:
        if rope.duty == "belay":
            continue
        row, of_load = np.zeros(width), 0.0
        if rope in hands:
            row[len(column) + hands.index(rope)] = 1.0
        for one, other in itertools.pairwise(rope.met):
            for end, sign in ((one, -1.0), (other, 1.0)):
                stretch = sign * directions[one.far] @ rig.axis[end.body] if end.body else 0.0
                if end.body == rig.load:
                    of_load += stretch
                elif end.body in column:
                    row[column[end.body]] += stretch
            if other.kind in ("grab", "end"):
                rows.append(row)
                wanted.append(-of_load)
                row, of_load = np.zeros(width), 0.0
    matrix, wanted = np.array(rows), np.array(wanted)
    moves, _, rank, _ = np.linalg.lstsq(matrix, wanted, rcond=None)
    if rank < width or not np.allclose(matrix @ moves, wanted):
        raise Refused("the lengths leave the travel open")
    return {
        "hands": [float(rope) for rope in moves[len(column) :]],
        "bodies": {body: float(moves[place]) for body, place in column.items()},
    }
