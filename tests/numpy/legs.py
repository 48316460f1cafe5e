"""What stands or hangs on legs: forces along them from the force vector on what they hold."""

import math

import numpy as np

from rig import UP, Refused, turned

# A force of less than this share of the largest tension is none.
NONE = 1e-9


def hung_on(offs, forces, none):
    """The pull along each leg, in a row for each force. Two legs share; of more, any two must carry all."""
    if len(offs) == 2:
        return pair(offs, forces, none)
    if (np.abs(forces[:, 0]) > none).any():
        raise Refused("legs aside")
    along = np.zeros((len(forces), len(offs)))
    for one, other in ((i, j) for i in range(len(offs)) for j in range(len(offs)) if i != j):
        if offs[one] + offs[other] > 0.0:
            along[:, one] = np.maximum(along[:, one], pair([offs[one], offs[other]], forces, none)[:, 0])
    return along


def pair(offs, forces, none):
    """Two legs in the plane of the ropes, the first to the left: what they pull is what they are pulled with."""
    ways = np.stack([turned(UP, -offs[0]), turned(UP, offs[1])], axis=1)
    along = np.linalg.solve(ways, -forces.T).T
    if (along < -none).any():
        raise Refused("leg slack")
    return along


def most_pushed(off, forces, none):
    """The push on the leg of a tripod that is pushed most, however the tripod is turned under the force."""
    radians = math.radians(off)
    worst = np.zeros(len(forces))
    # A leg takes most, or least, where it or its opposite stands under the force; the others make sure of it.
    for turn in np.radians(np.arange(0.0, 120.0, 7.5)):
        azimuths = turn + np.radians([0.0, 120.0, 240.0])
        feet = np.stack(
            [math.sin(radians) * np.cos(azimuths), math.sin(radians) * np.sin(azimuths), np.full(3, -math.cos(radians))]
        )
        inside = np.column_stack([forces[:, 0], np.zeros(len(forces)), forces[:, 1]])
        pushes = np.linalg.solve(feet, inside.T).T
        if (pushes < -none).any():
            raise Refused("tips")
        worst = np.maximum(worst, pushes.max(axis=1))
    return worst
