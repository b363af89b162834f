#!/usr/bin/env python3
"""Verifies a pack from sync/FORMAT.md section 9 and the texts it names alone, as verify.py does a folder.

usage: verify_pack.py FOLDER. Prints JSON: whole, breaks (what is wrong, in short), entries, proofs, photos, set_aside, enrolled,
people and for each job under `complete`: proven, broken, covered, later. Exit 0 (read `whole`), 2 no pack.
"""
import hashlib, itertools, json, os, sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from verify import Bad, ZEROS, canonical, devid_of, entry_of, head_of, is_hex, is_key, printed, split_line, verified, whole

EVERY_ROLE = {"genesis", "plant", "witness", "import.refused", "clock", "trust", "retire", "fork"}
PLANNERS = {"unit", "person", "instrument", "job.open"}
SUPERVISORS = {"decision", "countersign", "return"}
MOST_TRIED = 2_000_000


def sha(raw):
    return hashlib.sha256(raw).hexdigest()


def lines_in(raw):
    lines = raw.split(b"\n")
    return lines if lines[-1] else lines[:-1]


def text_in(body, key):
    return body[key] if isinstance(body.get(key), str) else ""


# --- the roster: engine/book/FORMAT.md section 9

class Roster:
    def __init__(self):
        self.ids, self.key, self.plant = [], None, None
        self.machines, self.persons, self.accepted = {}, {}, set()

    def apply(self, line, plant):
        signature, body, said = split_line(line, 65536)
        if sorted(said) != ["at_ms", "by", "d", "kind", "plant", "prev", "seq", "v"] or said["v"] != 1:
            raise Bad("R02")
        if not isinstance(said["by"], str) or not verified(said["by"], b"witnessmark1/roster\n" + body, signature):
            raise Bad("R06")
        self.key = self.key or said["by"]
        if said["plant"] != plant or said["by"] != self.key or (said["seq"] == 1) != (said["kind"] == "root"):
            raise Bad("R06")
        if said["seq"] != len(self.ids) + 1 or said["prev"] != (self.ids[-1] if self.ids else ZEROS):
            raise Bad("R07")
        {"root": self.root, "root.rotate": self.root, "add": self.add, "revoke": self.revoke, "person": self.person,
         "person.end": self.end, "accept": self.accept}.get(said["kind"], self.unknown)(said["d"])
        self.ids.append(hashlib.sha256(body).hexdigest())

    def unknown(self, _):
        raise Bad("R03")

    def root(self, said):
        if len(said["keys"]) != 1 or said["threshold"] != 1 or not is_key(said["keys"][0]):
            raise Bad("R03")
        if not self.ids and said["keys"][0] != self.key:
            raise Bad("R06")
        self.key = said["keys"][0]

    def add(self, said):
        machine = self.machines.setdefault(said["dev"], {"roles": [], "revoked": None, "signs": said.get("signs_from", 1), "plans": None})
        if not is_key(said["dev"]) or machine["revoked"] or (machine["roles"] and said.get("from", 1) <= machine["roles"][-1][0]):
            raise Bad("R02")
        if machine["plans"] is None:
            machine["plans"] = said.get("plans_from")
        machine["roles"].append((said.get("from", 1), said["role"]))

    def revoke(self, said):
        if said["dev"] not in self.machines or self.machines[said["dev"]]["revoked"]:
            raise Bad("R02")
        self.machines[said["dev"]]["revoked"] = (said["last_seq"], said["last_id"])

    def person(self, said):
        if said["key"] in self.persons or not is_key(said["key"]):
            raise Bad("R02")
        self.persons[said["key"]] = {"badge": said["badge"], "role": said["role"], "ended": None}

    def end(self, said):
        if said["key"] not in self.persons:
            raise Bad("R02")
        self.persons[said["key"]]["ended"] = {head["dev"]: head["seq"] for head in said["heads"]}

    def accept(self, said):
        self.accepted.update(said["ids"])

    def stands(self, entry):
        if not self.ids or entry["id"] in self.accepted:
            return True
        machine = self.machines.get(entry["dev"])
        if machine is None:
            return False
        seq, kind = entry["seq"], entry["kind"]
        if machine["revoked"]:
            last, ident = machine["revoked"]
            if seq > last or (seq == last and entry["id"] != ident):
                return False
        role = next((role for start, role in reversed(machine["roles"]) if start <= seq), None)
        if kind not in EVERY_ROLE and role not in (("planner",) if kind in PLANNERS else ("recorder", "supervisor", "planner")):
            return False
        if kind in SUPERVISORS and seq >= machine["signs"]:
            return self.signed(entry, "supervisor")
        if kind in PLANNERS and machine["plans"] is not None and seq >= machine["plans"]:
            return self.signed(entry, "planner")
        return True

    def signed(self, entry, role):
        said = dict(entry["d"])
        key, signature = said.get("pkey"), said.pop("psig", None)
        person = self.persons.get(key) if isinstance(key, str) else None
        if person is None or not is_hex(signature, 128) or person["badge"] != entry.get("actor", ""):
            return False
        covered = {name: entry[name] for name in ("plant", "kind", "actor", "job", "pos", "step", "refs") if name in entry}
        covered["d"] = said
        if not verified(key, b"witnessmark1/person\n" + printed(covered).encode(), bytes.fromhex(signature)):
            return False
        ended = person["ended"]
        return person["role"] == role and (ended is None or entry["seq"] <= ended.get(entry["dev"], 0))


# --- shown order: engine/book/FORMAT.md section 3

def in_shown_order(entries):
    ordered = sorted(entries, key=lambda e: (e["hlc"], e["dev"], e["seq"], e["id"]))
    here, last, before = {e["id"] for e in entries}, {}, {}
    for entry in ordered:
        before[entry["id"]] = {ref for ref in entry.get("refs", []) if ref in here}
        if entry["dev"] in last:
            before[entry["id"]].add(last[entry["dev"]])
        last[entry["dev"]] = entry["id"]
    shown, done, waiting = [], set(), []

    def show(entry):
        shown.append(entry)
        done.add(entry["id"])
    for entry in ordered:
        if not before[entry["id"]] <= done:
            waiting.append(entry)
            continue
        show(entry)
        while True:
            free = next((e for e in waiting if before[e["id"]] <= done), None)
            if free is None:
                break
            waiting.remove(free)
            show(free)
    return shown + waiting


# --- is anything left out? sync/FORMAT.md section 9

def covers(review, shown, witnesses):
    """Whether count and root of `review` fit what its machine can have known of `shown`."""
    count, root = review["d"].get("count"), review["d"].get("root")
    if not whole(count):
        return False
    read = {}
    for entry in witnesses:
        said = entry["d"]
        if entry["dev"] == review["dev"] and entry["seq"] < review["seq"] and whole(said.get("seq")):
            read[said.get("dev")] = max(read.get(said.get("dev"), 0), said["seq"])
    others = {}
    for entry in shown:
        if entry["dev"] != review["dev"]:
            others.setdefault(entry["dev"], []).append(entry["seq"])
    choices = []
    for dev, seqs in sorted(others.items()):
        seqs.sort()
        least = sum(1 for seq in seqs if seq <= read.get(dev, 0))
        choices.append([(dev, seqs[n - 1] if n else 0) for n in range(len(seqs), least - 1, -1)])
    tried = 0
    for choice in itertools.product(*choices):
        upto = dict(choice)
        upto[review["dev"]] = review["seq"] - 1
        ids = [e["id"] for e in shown if e["seq"] <= upto[e["dev"]]]
        tried += len(shown)
        if len(ids) == count and sha("".join(i + "\n" for i in ids).encode()) == root:
            return True
        if tried > MOST_TRIED:
            return False
    return False


def completeness_of(job, entries, witnesses):
    found = {"job": job, "proven": False, "broken": False, "covered": 0, "later": 0}
    shown, reviews = in_shown_order(entries), 0
    for entry in shown:
        if entry["kind"] not in ("countersign", "return"):
            continue
        if not covers(entry, shown, witnesses):
            return dict(found, broken=True)
        reviews, found["covered"] = reviews + 1, entry["d"]["count"]
    found["later"] = len(shown) - found["covered"] - (1 if reviews else 0)
    return dict(found, proven=reviews > 0)


# --- tree proofs: engine/book/FORMAT.md section 8, RFC 9162 section 2.1.3.2

def leads_to(leaf, index, size, beside):
    """The root these hashes lead to; None when there are too few or too many of them."""
    if index >= size:
        return None
    node, last = leaf, size - 1
    for hash_ in beside:
        if last == 0:
            return None
        if index & 1 or index == last:
            node = hashlib.sha256(b"\1" + hash_ + node).digest()
            while not index & 1 and index:
                index, last = index >> 1, last >> 1
        else:
            node = hashlib.sha256(b"\1" + node + hash_).digest()
        index, last = index >> 1, last >> 1
    return node if last == 0 else None


class Pack:
    def __init__(self, path):
        self.path, self.breaks, self.entries, self.roots = path, [], {}, {}
        self.proofs = self.photos = 0
        self.roster, self.aside, self.complete, self.contents = Roster(), set(), [], {"people": []}

    def bad(self, what):
        self.breaks.append(what)

    def read(self, name):
        with open(os.path.join(self.path, name), "rb") as file:
            return file.read()

    def listed(self, name, file):
        try:
            raw = self.read(file)
        except OSError:
            self.bad(file + " is not there")
            return b""
        if sha(raw) != self.contents[name]:
            self.bad(file + " has another hash")
        return raw

    def run(self):
        try:
            raw = self.read("contents.txt")
            if not raw.endswith(b"\n"):
                raise Bad("cut")
            if not is_hex(raw[:128].decode("latin-1"), 128) or raw[128:129] != b" ":
                raise Bad("form")
            said = canonical(raw[129:-1], 1 << 20)
            if said["v"] != 1 or not verified(said["dev"], b"witnessmark1/pack\n" + raw[129:-1], bytes.fromhex(raw[:128].decode())):
                raise Bad("signature")
            self.contents.update({name: said[name] for name in (
                "plant", "dev", "serial", "at_ms", "jobs", "head_size", "lines", "proofs", "roster", "head", "photos", "missing")})
            self.contents["people"] = said.get("people", [])
        except (Bad, KeyError, TypeError, UnicodeDecodeError):
            return self.bad("contents.txt")
        lines, proofs, roster = (self.listed(n, n + ".jsonl") for n in ("lines", "proofs", "roster"))
        self.check_head(self.listed("head", "head.txt"))
        self.check_lines(lines)
        self.check_proofs(proofs)
        self.check_roster(roster)
        self.check_completeness()
        self.check_photos()

    def check_head(self, raw):
        try:
            plant, _, root = head_of(raw, self.contents["head_size"], devid_of(self.contents["dev"]))
            if root is None or plant != self.contents["plant"]:
                raise Bad("R08")
            self.roots[self.contents["dev"], self.contents["head_size"]] = root
        except Bad:
            self.bad("head.txt")

    def check_lines(self, raw):
        for number, line in enumerate(lines_in(raw), 1):
            try:
                entry = entry_of(line)
            except Bad as bad:
                self.bad("line %d: %s" % (number, bad.code))
                continue
            if entry["plant"] != self.contents["plant"] or entry["id"] in self.entries:
                self.bad("line %d" % number)
            self.entries[entry["id"]] = entry
        spoken_of = {entry.get("job") for entry in self.entries.values()}
        for job in self.contents["jobs"]:
            if job not in spoken_of:
                self.bad("no entry of job " + job)

    def check_proofs(self, raw):
        proofs = []
        for number, line in enumerate(lines_in(raw), 1):
            try:
                proof = canonical(line, 16384)
                proof["beside"] = [bytes.fromhex(h) for h in proof["beside"] if is_hex(h, 64) or self.bad("proof %d" % number)]
                proofs.append((proof["id"], proof["dev"], proof["seq"], proof["size"], bytes.fromhex(proof["root"]), proof["beside"]))
            except (Bad, KeyError, TypeError, ValueError):
                self.bad("proof %d" % number)
        maker = self.contents["dev"]
        for proof in [p for p in proofs if p[1] == maker] + [p for p in proofs if p[1] != maker]:
            self.check_proof(*proof)

    def check_proof(self, ident, dev, seq, size, root, beside):
        entry = self.entries.get(ident)
        if entry is None or (entry["dev"], entry["seq"]) != (dev, seq) or self.roots.get((dev, size)) != root or \
                leads_to(entry["leaf"], seq - 1, size, beside) != root:
            return self.bad("proof of entry %s of %s" % (seq, dev))
        self.proofs += 1
        said = entry["d"]
        if dev == self.contents["dev"] and entry["kind"] == "witness" and is_hex(said.get("root"), 64) and whole(said.get("seq")):
            self.roots.setdefault((said.get("dev"), said["seq"]), bytes.fromhex(said["root"]))

    def check_roster(self, raw):
        try:
            for line in lines_in(raw):
                self.roster.apply(line, self.contents["plant"])
        except (Bad, KeyError, TypeError):
            return self.bad("roster.jsonl")
        self.aside = {ident for ident, entry in self.entries.items() if not self.roster.stands(entry)}

    def check_completeness(self):
        everything = list(self.entries.values())
        witnesses = [entry for entry in everything if entry["kind"] == "witness"]
        for job in self.contents["jobs"]:
            of_job = [entry for entry in everything if entry.get("job") == job]
            found = completeness_of(job, of_job, witnesses)
            if found["broken"] and self.aside:
                without = completeness_of(job, [e for e in of_job if e["id"] not in self.aside], witnesses)
                found = found if without["broken"] else without
            if found["broken"]:
                self.bad("job %s: entries were left out" % job)
            self.complete.append(found)

    def check_photos(self):
        for photo in self.contents["photos"]:
            try:
                fits = is_hex(photo, 64) and sha(self.read("photos/%s.jpg" % photo)) == photo
            except OSError:
                fits = False
            if fits:
                self.photos += 1
            else:
                self.bad("photo " + str(photo))
        known = set(self.contents["photos"]) | set(self.contents["missing"])
        for entry in self.entries.values():
            photo = text_in(entry["d"], "sha256")
            if entry["kind"] == "photo" and photo not in known:
                self.bad("photo %s is not listed" % photo)


def report_of(path):
    pack = Pack(path)
    pack.run()
    return {"whole": not pack.breaks, "breaks": pack.breaks, "entries": len(pack.entries), "proofs": pack.proofs,
            "photos": pack.photos, "set_aside": len(pack.aside), "enrolled": bool(pack.roster.ids),
            "people": len(pack.contents["people"]), "complete": pack.complete}


def main():
    if len(sys.argv) != 2 or not os.path.isfile(os.path.join(sys.argv[1], "contents.txt")):
        print("usage: verify_pack.py FOLDER (that holds contents.txt)", file=sys.stderr)
        return 2
    print(json.dumps(report_of(sys.argv[1])))
    return 0


if __name__ == "__main__":
    sys.exit(main())
