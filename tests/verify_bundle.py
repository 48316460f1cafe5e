#!/usr/bin/env python3
"""Checks a bundle of a Ropeloft record with Python's own library and openssl alone: verify_bundle.py FILE [KEY]

KEY: the one that signs now, as the team gave it to you on another way; without it those in the file are taken. The first
line of a file describes it. Sources: RFC 6962, section 2.1, for the hashes; C2SP for signed notes and checkpoints. """
import base64, hashlib, json, pathlib, re, subprocess, sys, tempfile


def sha(*parts):
    return hashlib.sha256(b"".join(parts)).digest()


def fault(what, seq=None):
    raise SystemExit(f"FAULT: {what}" if seq is None else f"FAULT: entry {seq} {what}")


def signed(note, keys):
    """The lines of a note's text, if one of the keys signed it: Ed25519, checked by openssl."""
    text, signatures = note.rsplit("\n\n", 1)
    for line in signatures.splitlines():
        name, given = line.removeprefix("\u2014 ").rsplit(" ", 1)
        given = base64.b64decode(given)
        for owner, _, public in (key.split("+", 2) for key in keys):
            public = base64.b64decode(public)
            is_its = (owner, given[:4], public[0]) == (name, sha(owner.encode(), b"\n", public)[:4], 1)
            frame = bytes.fromhex("302a300506032b6570032100")  # RFC 8410: the key's frame in DER
            if is_its and holds(text=f"{text}\n".encode(), key=frame + public[1:], signature=given[4:]):
                return text.split("\n")
    fault("no known key signed " + text.split("\n")[0])


def holds(**files):
    with tempfile.TemporaryDirectory() as folder:
        for name, content in files.items():
            pathlib.Path(folder, name).write_bytes(content)
        order = "openssl pkeyutl -verify -pubin -keyform DER -inkey key -rawin -in text -sigfile signature"
        return subprocess.run(order.split(), cwd=folder, capture_output=True).returncode == 0


def verify(path, keys):
    before, parts, seen, sealed, head, names, end = hashlib.sha256(), [], [], set(), None, 0, None
    for raw in open(path, "rb"):
        (kind, line), = json.loads(raw).items()
        if end:
            fault("something stands behind the end")
        elif kind == "end":
            end = line
            continue
        elif head is None:
            head, keys, ((scope, of),) = line, keys or line["keys"], line["of"].items()
            note = signed(line["checkpoint"], keys)
            size, root = int(note[1]), base64.b64decode(note[2])
            wanted = range(1, size + 1) if scope == "team" else range(of.get("first", 1), of.get("last", 0) + 1)
            needed = range(max(wanted.start - 1, 1), min(wanted.stop, size) + 1)
            needed = needed if scope == "time" and line["form"] > 1 else wanted  # form 1 has none beside a time
            if note[0] != "ropeloft/ledger/" + line["team"] or not 1 <= wanted.start <= wanted.stop <= size + 1:
                fault("the first line and its checkpoint do not belong together")
            parts = [(0, size, root)] if size else []
        elif kind == "name":
            seal = sha(bytes.fromhex(line["salt"]), line["name"].encode()).hex()
            names += 1 if seal == line["seal"] and seal in sealed else fault("a name is not the one that was sealed")
        else:
            begin, to, known = parts.pop() if parts else fault("more than the record had")
            if kind == "node":
                left, right = map(bytes.fromhex, line)
                if to - begin < 2 or sha(b"\1", left, right) != known:
                    fault(f"is the first of those up to {to} that do not hash to the signed root", begin + 1)
                half = begin + (1 << (to - begin - 1).bit_length() - 1)
                parts += [(half, to, right), (begin, half, left)]
            elif kind == "past":
                first = max(begin + 1, needed.start)
                if line != [begin + 1, to] or first in needed and first <= to:
                    fault("is left out", first)
            else:
                if line["seq"] != begin + 1:
                    fault("is left out or not in its place", begin + 1)
                if to - begin != 1 or sha(b"\0", line["payload"].encode()) != known:
                    fault("was changed or forged", begin + 1)
                at = json.loads(line["payload"])["recorded_at"].rstrip("Z")  # as text, moments stand in their order
                early, late = (of.get(edge) and of[edge].rstrip("Z") for edge in ("from", "before"))
                place = (to >= wanted.stop) - (to < wanted.start) if scope == "time" else 0
                if (kind, place) != ("beside" if place else "entry", bool(late and at >= late) - bool(early and at < early)):
                    fault("was not recorded in the time, or beside it, as the first line says", to)
                seen += [] if place else [to]
                sealed.update(re.findall('"sealed-name":"([0-9a-f]{64})"', line["payload"]))
        before.update(raw)
    if parts or not end:
        fault("is left out: the file ends before it", parts[-1][0] + 1) if parts else fault("the end is left out")
    runs = [list(map(int, run.split("-"))) for run in end["entries"].split(",") if run]
    for seq in sorted({seq for run in runs for seq in range(run[0], run[-1] + 1)} ^ set(seen)):
        fault("is left out or put in", seq)
    hashes = ["entries " + sha(end["entries"].encode()).hex(), "bytes " + before.hexdigest()]
    if signed(end["note"], keys) != [note[0] + " bundle", str(size), *hashes]:
        fault("the end does not belong to this file")
    return f"Holds: {len(seen)} entries of {size}, {names} names, root {root.hex()}"


if __name__ == "__main__":
    print(verify(sys.argv[1], sys.argv[2:]))
