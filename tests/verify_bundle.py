"""Checks a bundle of a Ropeloft record with Python's own library and openssl alone: python3 verify_bundle.py FILE [KEY]
KEY: the one that signs now, as the team gave it to you on another way; else those in the file are taken. `ropeloft verify`
alone goes on from an older key to it, holds witnesses to their keys and photos to their hashes, and sees moments go back."""
import base64, hashlib, itertools, json, pathlib, re, subprocess, sys, tempfile

def sha(*parts): return hashlib.sha256(b"".join(parts)).digest()  # RFC 6962, section 2.1; C2SP for signed notes and checkpoints

def need(holds, fault, seq=None):
    if not holds: raise SystemExit(f"FAULT: {fault}" if seq is None else f"FAULT: entry {seq} {fault}")

def signed(note, keys):
    """The lines of a note's text, and which of the keys signed it: Ed25519, checked by openssl."""
    text, signatures = note.rsplit("\n\n", 1)
    for line, key in itertools.product(signatures.splitlines(), keys):
        (_, name, given), (owner, its, public) = line.split(" "), key.split("+", 2)
        given, public = base64.b64decode(given), base64.b64decode(public)
        need(its == sha(owner.encode(), b"\n", public).hex()[:8], f"this is not the key as it was given out: {key!r}")
        key_file = bytes.fromhex("302a300506032b6570032100") + public[1:]  # RFC 8410: the key's frame in DER
        order = "openssl pkeyutl -verify -pubin -keyform DER -inkey key -rawin -in text -sigfile signature".split()
        with tempfile.TemporaryDirectory() as folder:
            for file, content in {"text": f"{text}\n".encode(), "key": key_file, "signature": given[4:]}.items():
                pathlib.Path(folder, file).write_bytes(content)
            is_its = (owner, its, public[0]) == (name, given[:4].hex(), 1)
            if is_its and not subprocess.run(order, cwd=folder, capture_output=True).returncode:
                return text.split("\n"), key
    need(False, f"no key that is known here signed {text.splitlines()[0]!r}; from an older one only `ropeloft verify` goes on")

def about(of):  # the ids of the items, jobs, models and notices in whose history an entry stands
    for key in {"id", "item", "job", "rope", "notice", "to", "pieces", "lines", "model" * isinstance(of.get("model"), dict)} & of.keys():
        for one in of[key] if isinstance(of[key], list) else [of[key]]:
            yield from about(one) if isinstance(one, dict) else [one]

def verify(path, given):
    before, parts, seen, called, sealed, head, end = hashlib.sha256(), [], set(), {}, set(), None, None
    for raw in open(path, "rb"):
        (kind, line), = json.loads(raw).items() if not end else need(False, "something stands behind the end")
        if kind == "end":
            end, hashed = line, before.hexdigest()
        elif head is None:
            head, keys, ((scope, of),) = line, given or line["keys"], line["of"].items()
            (origin, size, root, *made), _ = signed(line["checkpoint"], keys)
            ids = {"item": of.get("ids") or [""], "job": [of.get("id")]}.get(scope, [])
            size, root, linked = int(size), base64.b64decode(root), set(ids[:1])
            wanted = range(of["first"], of["last"] + 1) if scope == "time" else range(1, size + 1)
            proved = scope == "team" or scope == "time" and line["form"] > 1  # form 1 has none beside a time
            needed = range(max(wanted.start - 1, 1), min(wanted.stop, size) + 1) if proved else range(0) if ids else wanted
            belong = line["form"] in (1, 2, 3) and origin == "ropeloft/ledger/" + line["team"] and 1 <= wanted.start <= wanted.stop <= size + 1
            need(belong, "the first line and its checkpoint do not belong together")
            parts = [(0, size, root)] if size else []
        elif kind == "name":
            seal = sha(bytes.fromhex(line["salt"]), line["name"].encode()).hex()
            need(line["seal"] == seal in sealed, "a name is not the one that was sealed")
        else:
            begin, to, known = parts.pop() if parts else need(False, "more than the record had")
            if kind == "node":
                left, right = map(bytes.fromhex, line)
                need(to - begin > 1 and sha(b"\1", left, right) == known, f"or one up to {to} is not what was signed", begin + 1)
                half = begin + (1 << (to - begin - 1).bit_length() - 1)
                parts += [(half, to, right), (begin, half, left)]
            elif kind == "past":
                first = max(begin + 1, needed.start)
                need(line == [begin + 1, to] and not (first in needed and first <= to), "is left out", first)
            else:
                need(line["seq"] == begin + 1, "is left out or not in its place", begin + 1)
                need(to - begin == 1 and sha(b"\0", line["payload"].encode()) == known, "was changed or forged", begin + 1)
                entry, edges = json.loads(line["payload"]), (of.get("from") or "", of.get("before") or "~")
                at, early, late = (text.rstrip("Z") for text in (entry["recorded_at"], *edges))  # in their order as text
                place, what, it = (to >= wanted.stop) - (to < wanted.start), entry["change"]["kind"], entry["change"]["of"]
                its_place = place == (at >= late) - (at < early) and kind == ("beside" if place else "entry")
                need(its_place, "was not recorded in the time, or beside it, as the first line says", to)
                need((mine := set(about(it)) & set(ids)) or not ids, "does not belong to what the first line names", to)
                rope, brings = {it.get("rope")}, {it.get("model" if re.match("item-(add|rev)", what) else "rope")}
                linked |= (mine if re.match("notice-[^c]|notice-corr", what) else brings & set(ids)) if mine - rope else set()
                for one in (it, *it.get("pieces", [])) if re.search("-(added|planned|founded|revised|cut)$", what) else ():
                    called[one.get("id")] = to, one.get("mark") or one.get("title") or one.get("name")
                sealed.update(re.findall('"sealed-name":"([0-9a-f]{64})"', line["payload"]))
                seen |= set() if place else {to}
        before.update(raw)
    need(end and not parts, "is left out: the file ends before it", parts[-1][0] + 1 if parts else "with the signature")
    runs = re.findall(r"(\d+)-?(\d*)", end["entries"])
    apart = seen ^ {seq for first, last in runs for seq in range(int(first), int(last or first) + 1)}
    need(not apart, "is left out or put in", min(apart, default=0))
    hashes = ["entries " + sha(end["entries"].encode()).hex(), "bytes " + hashed]
    says, key = signed(end["note"], keys)
    need(says == [origin + " bundle", str(size), *hashes], "the end does not belong to this file")
    need(linked == set(ids) and called.keys() >= set(ids[:1]), "the first line names an id that no entry brings in")
    its, team = of.get("mark") or of.get("title"), head["team"]
    for one, name in {**dict.fromkeys(ids[:1], its), team: head["team_name"]}.items():  # the team last
        seq, said = called.get(one, (0, name))
        need(said == name or scope == "time" and wanted.stop <= size, f"calls it {said!r}, the first line {name!r}", seq)
    time = f"what was recorded from {of.get('from') or 'its beginning'!r} on, before {of.get('before') or 'its end'!r},"
    what = f"the history of the {scope} {its!r}" if ids else time if scope == "time" else "the whole record"
    print(f"Holds: {what} of {name!r}, as", "an entry" if seq and said == name else "the server alone", "calls team", team)
    print(f"  {len(seen)} entries of {size} that the record had as of {''.join(made)[5:]!r}, root {root.hex()}")
    print("  That none is left out", "the tree proves." if proved else "rests on the server's signature: its word, not a proof.")
    print("  Signed with", "the key that you gave:" if given else "a key of the file: hold it against the one given to you:", key)

sys.excepthook = lambda kind, why, trace: print(f"FAULT: FILE or KEY cannot be read: {why!r}", file=sys.stderr)
verify(sys.argv[1], sys.argv[2:])
