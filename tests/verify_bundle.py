#!/usr/bin/env python3
"""Checks a bundle of a Ropeloft record with Python's own library and openssl, without Ropeloft.

    python3 verify_bundle.py FILE [KEY]

KEY is a key that the team gave you on another way (NAME+IDENTIFIER+KEY); without it the keys in the file are taken.
The form is described in the file's first line. Sources: RFC 6962, section 2.1, for the hashes; the forms of signed
notes and of checkpoints are open specifications of C2SP.
"""
import base64, hashlib, json, os, re, subprocess, sys, tempfile


def sha(*parts):
    return hashlib.sha256(b"".join(parts)).digest()


def signed(note, keys):
    """The text of a note, if one of the keys signed it: Ed25519, checked by openssl."""
    text, signatures = note.rsplit("\n\n", 1)
    text += "\n"
    for line in signatures.splitlines():
        name, given = line.removeprefix("\u2014 ").rsplit(" ", 1)
        given = base64.b64decode(given)
        for key in keys:
            owner, _, public = key.split("+", 2)
            public = base64.b64decode(public)
            identifier = sha(owner.encode(), b"\n", public)[:4]
            if owner == name and given[:4] == identifier and public[0] == 1 and holds(text, public[1:], given[4:]):
                return text
    raise SystemExit("FAULT: no known key signed " + text.split("\n")[0])


def holds(text, public, signature):
    with tempfile.TemporaryDirectory() as folder:
        files = {"text": text.encode(), "signature": signature,
                 "key": bytes.fromhex("302a300506032b6570032100") + public}  # RFC 8410: the key's frame in DER
        for name, content in files.items():
            with open(os.path.join(folder, name), "wb") as file:
                file.write(content)
        order = "openssl pkeyutl -verify -pubin -keyform DER -inkey key -rawin -in text -sigfile signature"
        return subprocess.run(order.split(), cwd=folder, capture_output=True).returncode == 0


def fault(seq, what):
    raise SystemExit(f"FAULT: entry {seq} {what}")


def verify(path, keys):
    before, parts, seen, sealed, head, names = hashlib.sha256(), [], [], set(), None, 0
    for raw in open(path, "rb"):
        (kind, line), = json.loads(raw).items()
        if head is None:
            head, keys = line, keys or line["keys"]
            note = signed(line["checkpoint"], keys).split("\n")
            size, root = int(note[1]), base64.b64decode(note[2])
            assert note[0] == "ropeloft/ledger/" + line["team"], "FAULT: another team's checkpoint"
            (scope, of), = line["of"].items()
            wanted = range(1, size + 1) if scope == "team" else range(of.get("first", 1), of.get("last", 0) + 1)
            parts = [(0, size, root)] if size else []
        elif kind == "end":
            if parts:
                fault(parts[-1][0] + 1, "is left out: the file ends before it")
            runs = [list(map(int, run.split("-"))) for run in line["entries"].split(",") if run]
            listed = [seq for run in runs for seq in range(run[0], run[-1] + 1)]
            for seq in sorted(set(listed) ^ set(seen)):
                fault(seq, "is left out or put in")
            expected = [note[0] + " bundle", str(size), "entries " + sha(line["entries"].encode()).hex(),
                        "bytes " + before.hexdigest(), ""]
            assert signed(line["note"], keys).split("\n") == expected, "FAULT: the end does not belong to this file"
            return f"Holds: {len(seen)} entries of {size}, {names} names, root {root.hex()}"
        elif kind == "name":
            seal = sha(bytes.fromhex(line["salt"]), line["name"].encode()).hex()
            assert seal == line["seal"] and seal in sealed, "FAULT: a name is not the one that was sealed"
            names += 1
        else:
            begin, to, known = parts.pop() if parts else sys.exit("FAULT: more than the record had")
            if kind == "node":
                left, right = map(bytes.fromhex, line)
                if to - begin < 2 or sha(b"\1", left, right) != known:
                    fault(begin + 1, f"is the first of those up to {to} that do not hash to the signed root")
                half = begin + (1 << (to - begin - 1).bit_length() - 1)
                parts += [(half, to, right), (begin, half, left)]
            elif kind == "past":
                first = max(begin + 1, wanted.start)
                if line != [begin + 1, to] or first in wanted and first <= to:
                    fault(first, "is left out")
            elif kind == "entry":
                if line["seq"] != begin + 1:
                    fault(begin + 1, "is left out or not in its place")
                if to - begin != 1 or sha(b"\0", line["payload"].encode()) != known:
                    fault(begin + 1, "was changed or forged")
                seen.append(begin + 1)
                sealed.update(re.findall('"sealed-name":"([0-9a-f]{64})"', line["payload"]))
        before.update(raw)
    fault(parts[-1][0] + 1, "is left out: the file ends before it") if parts else sys.exit("FAULT: the end is left out")


if __name__ == "__main__":
    print(verify(sys.argv[1], sys.argv[2:]))
