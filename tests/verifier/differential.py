#!/usr/bin/env python3
"""The program and the independent verifier on folders altered at random: both must say the same.

usage: differential.py PROGRAM GOLDEN_FOLDER [COUNT [SEED]]   (WM_DIFFERENTIAL=COUNT overrides)
"""
import json, os, random, shutil, subprocess, sys, tempfile, hashlib

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import verify


def files_below(path):
    return sorted(os.path.join(at, name) for at, _, names in os.walk(path) for name in names if name != "README.txt")


def renamed(path, raw):
    """The name that fits the bytes, so that the hash is no help."""
    folder, name = os.path.split(path)
    digest = hashlib.sha256(raw).hexdigest()
    stem, ending = os.path.splitext(name)
    parts = stem.split("-")
    parts[-1] = digest if len(parts[-1]) == 64 else digest[:32]
    if len(parts) == 1:
        folder = os.path.join(os.path.dirname(folder), digest[:2])
        os.makedirs(folder, exist_ok=True)
    return os.path.join(folder, "-".join(parts) + ending)


def altered(chance, raw):
    raw, how = bytearray(raw), chance.randrange(7)
    at = chance.randrange(len(raw)) if raw else 0
    if how == 0 and raw:
        raw[at] ^= 1 << chance.randrange(8)
    elif how == 1:
        del raw[at:]
    elif how == 2:
        raw[at:at] = bytes([chance.randrange(256)])
    elif how == 3 and raw:
        del raw[at]
    elif how == 4:
        lines = bytes(raw).splitlines(keepends=True)
        chance.shuffle(lines)
        raw = bytearray(b"".join(lines))
    elif how == 5:
        digits = [i for i, b in enumerate(raw) if 48 <= b <= 57]
        if digits:
            raw[chance.choice(digits)] = 48 + chance.randrange(10)
    else:
        raw += b"\n"
    return bytes(raw)


def mutate(chance, root):
    for _ in range(chance.choice((1, 1, 1, 2))):
        path = chance.choice(files_below(root))
        if chance.randrange(8) == 0:
            os.remove(path)
            continue
        with open(path, "rb") as file:
            raw = altered(chance, file.read())
        os.remove(path)
        if chance.randrange(2):
            path = renamed(path, raw)
        with open(path, "wb") as file:
            file.write(raw)


def main():
    program, golden = sys.argv[1:3]
    count = int(os.environ.get("WM_DIFFERENTIAL") or (sys.argv[3] if len(sys.argv) > 3 else 40))
    seed = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    apart = broken = 0
    for case in range(count + 1):
        chance = random.Random(seed * 1_000_000 + case)
        with tempfile.TemporaryDirectory(dir="/dev/shm" if os.path.isdir("/dev/shm") else None) as place:
            root = os.path.join(place, "share")
            shutil.copytree(golden, root)
            if case:
                mutate(chance, os.path.join(root, "witnessmark1"))
            said = subprocess.run([program, "check", "--shared", root, "--json"], capture_output=True, timeout=60)
            mine = json.loads(said.stdout)
            mine = {"whole": mine["whole"], "codes": sorted(mine["codes"]), "entries": mine["entries"],
                    "machines": {m["machine"]: m["entries"] for m in mine["machines"]}}
            other = verify.report_of(root)
            broken += not other["whole"]
            if mine != other:
                apart += 1
                print("case %d of seed %d: program %s, verifier %s" % (case, seed, mine, other))
    print("row 13: %d folders (1 untouched), %d of them broken, program and verifier apart in %d" % (count + 1, broken, apart))
    return 1 if apart else 0


if __name__ == "__main__":
    sys.exit(main())
