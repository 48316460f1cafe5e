"""Solves rigs apart from the program: from their sheets and from mechanics alone.

Reads a JSON object a line from the standard input and writes one a line:

    {"sheet": TOML, "friction": {POSITION: {"efficiency": BAND, "standing": BAND, "post": BAND}},
     "asks": [{"phase": PHASE, "given": NEWTONS}, ...]}

A band is [low, likely, high]; `standing` is the friction on a captured sheave that stands still in lowering.
`given` is the load; with a stuck load the pull of the crew, in a catch the peak. The answer tells how things
move while the load rises a metre (`travel`), and for each ask what `statics.answer` gives. With "times" in it, a
question is answered so often, and only the seconds that the quickest took are told.

The program walks angles and sums rows. Here every strand is a vector in the plane, matrices take tensions to
forces, and the travel is found from lengths and ties, without any force.
"""

import json
import sys
import time
import tomllib

import statics
import travel
from rig import Refused, Rig


def answered(question):
    """The answer to one line."""
    rig = Rig(tomllib.loads(question["sheet"]))
    answers = []
    for ask in question["asks"]:
        try:
            answers.append(statics.answer(rig, question["friction"], ask["phase"], ask["given"]))
        except Refused as refused:
            answers.append({"refused": str(refused)})
    try:
        moves = travel.of(rig)
    except Refused:
        moves = None
    return {"travel": moves, "answers": answers}


def seconds(question):
    """How long the quickest of many answers took, the sheet being read already."""
    rig = Rig(tomllib.loads(question["sheet"]))
    took = []
    for _ in range(question["times"]):
        start = time.perf_counter()
        for ask in question["asks"]:
            statics.answer(rig, question["friction"], ask["phase"], ask["given"])
        took.append(time.perf_counter() - start)
    return {"seconds": min(took)}


if __name__ == "__main__":
    for line in sys.stdin:
        question = json.loads(line)
        print(json.dumps(seconds(question) if "times" in question else answered(question)))
