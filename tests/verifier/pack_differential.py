#!/usr/bin/env python3
"""Packs with something left out or altered, signed anew by their maker or by a stranger: program and verifier must say the same.

usage: pack_differential.py PROGRAM [COUNT [SEED]]   (WM_DIFFERENTIAL=COUNT overrides)
"""
import base64, hashlib, json, os, random, shutil, subprocess, sys, tempfile

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import differential, verify, verify_pack

FILES = ("lines.jsonl", "proofs.jsonl", "roster.jsonl", "head.txt")


class Key:
    """An Ed25519 key that signs through openssl."""

    def __init__(self, seed, place):
        self.der, self.message = os.path.join(place, "seed"), os.path.join(place, "message")
        with open(self.der, "wb") as out:
            out.write(bytes.fromhex("302e020100300506032b657004220420") + seed)
        public = subprocess.run(["openssl", "pkey", "-inform", "DER", "-in", self.der, "-pubout", "-outform", "DER"],
                                capture_output=True, check=True).stdout
        self.dev = public[-32:].hex()

    def sign(self, message):
        with open(self.message, "wb") as out:
            out.write(message)
        return subprocess.run(["openssl", "pkeyutl", "-sign", "-keyform", "DER", "-inkey", self.der, "-rawin", "-in", self.message],
                              capture_output=True, check=True).stdout


def read(pack, name):
    with open(os.path.join(pack, name), "rb") as file:
        return file.read()


def write(pack, name, raw):
    with open(os.path.join(pack, name), "wb") as file:
        file.write(raw)


def entries_of(pack):
    return [(line, json.loads(line[129:])) for line in read(pack, "lines.jsonl").splitlines()]


def sign_anew(pack, key):
    """The contents say what the files are now, and the key's holder stands for it, with a head of its own."""
    said = json.loads(read(pack, "contents.txt")[129:])
    if key.dev != said["dev"]:
        head = read(pack, "head.txt").decode().split("\n")
        name = "%s/%s" % (head[0].rpartition("/")[0], verify.devid_of(key.dev))
        text = "\n".join([name, head[1], head[2], head[3], "key " + key.dev, ""])
        mark = hashlib.sha256(name.encode() + b"\n\1" + bytes.fromhex(key.dev)).digest()[:4]
        write(pack, "head.txt", (text + "\n\u2014 %s %s\n" % (name, base64.b64encode(mark + key.sign(text.encode())).decode())).encode())
        write(pack, "proofs.jsonl", b"")  # the tree of the stranger proves nothing of these
        said["dev"] = key.dev
    for name in FILES:
        said[name.split(".")[0]] = hashlib.sha256(read(pack, name)).hexdigest()
    raw = verify.printed(said).encode()
    write(pack, "contents.txt", key.sign(b"witnessmark1/pack\n" + raw).hex().encode() + b" " + raw + b"\n")


def leave_out(pack, key, which):
    """The entries for which `which` holds are gone, with their proofs and as if they had never been."""
    kept, gone = [], set()
    for line, said in entries_of(pack):
        if which(said):
            gone.add(hashlib.sha256(line[129:]).hexdigest())
        else:
            kept.append(line + b"\n")
    write(pack, "lines.jsonl", b"".join(kept))
    proofs = [line + b"\n" for line in read(pack, "proofs.jsonl").splitlines() if json.loads(line)["id"] not in gone]
    write(pack, "proofs.jsonl", b"".join(proofs))
    sign_anew(pack, key)
    return len(gone)


def both(program, pack):
    """What program and verifier say, in the same words."""
    said = json.loads(subprocess.run([program, "check", "--pack", pack, "--json"], capture_output=True, timeout=120).stdout or "{}")
    other = verify_pack.report_of(pack)
    found = []
    for one in (said, other):
        facts = {"whole": one.get("whole", False)}
        if facts["whole"]:
            for name in ("entries", "proofs", "photos", "set_aside", "enrolled", "people"):
                facts[name] = one[name]
            facts["complete"] = [{k: job[k] for k in ("job", "proven", "broken", "covered", "later")} for job in one["complete"]]
        found.append(facts)
    return found


class Trial:
    def __init__(self, program, place):
        self.program, self.place, self.wrong, self.tried, self.broken = program, place, 0, 0, 0

    def copy(self, pack):
        path = os.path.join(self.place, "copy")
        shutil.rmtree(path, ignore_errors=True)
        return shutil.copytree(pack, path)

    def judge(self, what, pack, expected):
        """`expected`: broken, proven, not proven, or any."""
        mine, other = both(self.program, pack)
        self.tried += 1
        self.broken += not other["whole"]
        proven = other["whole"] and all(job["proven"] for job in other["complete"])
        now = "broken" if not other["whole"] else "proven" if proven else "not proven"
        if mine != other or expected not in (now, "any"):
            self.wrong += 1
            print("%s: expected %s; program %s, verifier %s" % (what, expected, mine, other))


def attacks_of(entries):
    """Name, which entries go, and what must be said. `entries` of one countersigned job, with a review that covers all before it."""
    struck = {ref for e in entries if e["kind"] == "correction" for ref in e["refs"]}
    review = [e for e in entries if e["kind"] in ("countersign", "return")]
    last = review[-1]
    before = [e for e in entries if tuple(e["hlc"]) < tuple(last["hlc"])]
    for kind in sorted({e["kind"] for e in before} - {"countersign", "return"}):
        one = next(e for e in before if e["kind"] == kind)
        yield "one " + kind, lambda e, one=one: e == one, "broken"
    if any(e["d"].get("verdict") == "outside" for e in before):
        yield "readings outside", lambda e: e["kind"] == "reading" and e["d"].get("verdict") == "outside", "broken"
    if struck:
        ids = {hashlib.sha256(verify.printed(e).encode()).hexdigest(): e for e in entries}
        yield "struck readings", lambda e: any(ids.get(ref) == e for ref in struck), "broken"
        yield "corrections with what they strike", lambda e: e["kind"] == "correction" or any(ids.get(r) == e for r in struck), "broken"
    offs = [e for e in before if e["kind"] == "back.off"]
    if offs:
        pos = offs[0]["pos"]
        yield "a whole attempt", lambda e: e.get("pos") == pos and e.get("job") == last["job"] and \
            tuple(e["hlc"]) <= tuple(offs[0]["hlc"]), "broken"
    yield "every review", lambda e: e["kind"] in ("countersign", "return") and e.get("job") == last["job"], "not proven"
    yield "the last three and the review", lambda e: e in before[-3:] or e == last, "not proven" if len(review) == 1 else "any"


def mutated(chance, pack, key):
    name = chance.choice(FILES + ("contents.txt",))
    raw = differential.altered(chance, read(pack, name))
    write(pack, name, raw)
    if name != "contents.txt" and chance.randrange(3):
        sign_anew(pack, key)


def run(trial, count, seed):
    program, place = trial.program, trial.place
    book = os.path.join(place, "d.book")
    subprocess.run([program, "demo", "--book", book, "--shifts", "6"], check=True, capture_output=True)
    with open(book + ".key", "rb") as file:
        own = Key(bytes.fromhex(file.read().split(b"\n")[1].decode())[:32], place)
    stranger_place = os.path.join(place, "stranger")
    os.mkdir(stranger_place)
    stranger = Key(hashlib.sha256(b"a stranger's").digest(), stranger_place)
    jobs = [job["job"] for job in json.loads(subprocess.run([program, "jobs", "list", "--book", book, "--json"], check=True,
                                                               capture_output=True).stdout)["items"]]
    packs, attacked, kinds = [], 0, set()
    for job in jobs:
        pack = os.path.join(place, "pack" + job)
        if subprocess.run([program, "pack", "--book", book, "--job", job, "--out", pack], capture_output=True).returncode:
            continue
        entries = [said for _, said in entries_of(pack) if said.get("job") == job]
        reviewed = any(e["kind"] in ("countersign", "return") for e in entries)
        trial.judge("job %s as packed" % job, pack, "proven" if reviewed else "not proven")
        packs.append(pack)
        for name, which, expected in attacks_of(entries) if reviewed else ():
            for key, who in ((own, "its maker"), (stranger, "a stranger")):
                copy = trial.copy(pack)
                if leave_out(copy, key, which):
                    trial.judge("job %s without %s, signed by %s" % (job, name, who), copy, expected)
                    attacked, kinds = attacked + 1, kinds | {name}
    for case in range(count):
        chance = random.Random(seed * 1_000_000 + case)
        copy = trial.copy(chance.choice(packs))
        mutated(chance, copy, own)
        trial.judge("case %d of seed %d" % (case, seed), copy, "any")
    print("packs: %d tried, %d with entries left out (%s), %d broken, %d wrong" % (
        trial.tried, attacked, ", ".join(sorted(kinds)), trial.broken, trial.wrong))
    return 1 if trial.wrong or not attacked else 0


def main():
    count = int(os.environ.get("WM_DIFFERENTIAL") or (sys.argv[2] if len(sys.argv) > 2 else 40))
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    with tempfile.TemporaryDirectory(dir="/dev/shm" if os.path.isdir("/dev/shm") else None) as place:
        return run(Trial(sys.argv[1], place), count, seed)


if __name__ == "__main__":
    sys.exit(main())
