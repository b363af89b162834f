#!/usr/bin/env python3
"""Verifies a shared folder from engine/book/FORMAT.md and sync/FORMAT.md alone: standard library and the openssl command.

Written from the two texts, not from the program, so that a mistake in the one is not repeated in the other.
Prints JSON: whole, codes (of all breaks, sorted), entries, machines {devid: entries}. Exit 0 whole, 1 not, 2 no folder.
"""
import base64, hashlib, json, os, re, subprocess, sys, tempfile

ROOT = "witnessmark1"
P = 2**255 - 19
L = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
HEX = re.compile(r"[0-9a-f]+\Z")
KEY = re.compile(r"[a-z0-9_]{1,24}\Z")
ZEROS = "0" * 64


def is_hex(text, digits):
    return isinstance(text, str) and len(text) == digits and HEX.match(text) is not None


# --- Ed25519: the point must be canonical and of the prime-order group, S below the order; openssl does the rest.

def point_of(raw):
    y = int.from_bytes(raw, "little")
    sign, y = y >> 255, y & (2**255 - 1)
    if y >= P:
        return None
    u, v = (y * y - 1) % P, (D * y * y + 1) % P
    x = u * pow(v, 3, P) * pow(u * pow(v, 7, P), (P - 5) // 8, P) % P
    if v * x * x % P != u:
        x = x * pow(2, (P - 1) // 4, P) % P
    if v * x * x % P != u or (x == 0 and sign):
        return None
    return (P - x if x & 1 != sign else x), y


def add(a, b):
    (x1, y1, z1, t1), (x2, y2, z2, t2) = a, b
    A, B = (y1 - x1) * (y2 - x2) % P, (y1 + x1) * (y2 + x2) % P
    C, E = 2 * D * t1 * t2 % P, 2 * z1 * z2 % P
    e, f, g, h = B - A, E - C, E + C, B + A
    return e * f % P, g * h % P, f * g % P, e * h % P


def times(n, point):
    x, y = point
    total, step = (0, 1, 1, 0), (x, y, 1, x * y % P)
    while n:
        if n & 1:
            total = add(total, step)
        step, n = add(step, step), n >> 1
    return total


def neutral(point):
    x, y, z, _ = point
    return x % P == 0 and (y - z) % P == 0


KEYS = {}


def is_key(text):
    if text not in KEYS:
        point = point_of(bytes.fromhex(text)) if is_hex(text, 64) else None
        small = point is not None and neutral(times(8, point))
        KEYS[text] = point is not None and not small and neutral(times(L, point))
    return KEYS[text]


SIGNED = {}
TMP = tempfile.mkdtemp(prefix="wm-verify-")


def openssl(key, message, signature):
    def put(name, data):
        path = os.path.join(TMP, name)
        with open(path, "wb") as out:
            out.write(data)
        return path
    der = put("k", bytes.fromhex("302a300506032b6570032100" + key))
    return subprocess.run(["openssl", "pkeyutl", "-verify", "-pubin", "-keyform", "DER", "-inkey", der, "-rawin", "-in",
                           put("m", message), "-sigfile", put("s", signature)], capture_output=True).returncode == 0


def verified(key, message, signature):
    if not is_key(key) or int.from_bytes(signature[32:], "little") >= L:
        return False
    asked = (key, hashlib.sha256(message).digest(), signature)
    if asked not in SIGNED:
        SIGNED[asked] = openssl(key, message, signature)
    return SIGNED[asked]


# --- canonical JSON

class Bad(Exception):
    def __init__(self, code):
        super().__init__(code)
        self.code = code


def within(value, depth=1):
    if isinstance(value, bool) or isinstance(value, str):
        return True
    if isinstance(value, int):
        return abs(value) < 2**53
    if isinstance(value, list):
        return depth <= 6 and all(within(item, depth + 1) for item in value)
    if isinstance(value, dict):
        return depth <= 6 and len(value) <= 64 and all(KEY.match(k) and within(v, depth + 1) for k, v in value.items())
    return False


def printed(value):
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":")).replace("\x7f", "\x7f")


def canonical(raw, most):
    if len(raw) > most:
        raise Bad("R02")
    try:
        text = raw.decode("utf-8")
        if text.count("[") + text.count("{") > 100000:
            raise Bad("R02")
        value = json.loads(text)
        if not isinstance(value, dict) or not within(value) or printed(value).encode("utf-8") != raw:
            raise Bad("R02")
        return value
    except (ValueError, RecursionError):
        raise Bad("R02") from None


def split_line(line, most):
    if len(line) < 131 or line[128:129] != b" " or not is_hex(line[:128].decode("latin-1"), 128):
        raise Bad("R02")
    return bytes.fromhex(line[:128].decode()), line[129:], canonical(line[129:], most)


FIELDS = {"plant": str, "dev": str, "seq": int, "prev": str, "hlc": list, "wall_ms": int, "tz_min": int, "mono_ms": int,
          "tq": str, "kind": str, "d": dict, "v": int}
OPTIONAL = {"actor", "boot", "job", "pos", "step"}


def whole(value):
    return isinstance(value, int) and not isinstance(value, bool)


def entry_of(line):
    signature, raw, value = split_line(line, 16384)
    if not whole(value.get("v")) or value["v"] < 1:
        raise Bad("R02")
    if value["v"] > 1:
        raise Bad("R03")
    for name, kind in FIELDS.items():
        if name not in value or not isinstance(value[name], kind) or (kind is int and not whole(value[name])):
            raise Bad("R02")
    for name, found in value.items():
        if name in FIELDS:
            continue
        if name == "refs":
            if not isinstance(found, list) or not found or not all(is_hex(ref, 64) for ref in found):
                raise Bad("R02")
        elif name not in OPTIONAL or not isinstance(found, str) or not found:
            raise Bad("R02")
    hlc = value["hlc"]
    good = (is_hex(value["dev"], 64) and is_hex(value["prev"], 64) and 1 <= value["seq"] < 2**40 and value["plant"]
            and value["kind"] and value["tq"] in ("unset", "manual", "ntp") and -1440 <= value["tz_min"] <= 1440
            and value["mono_ms"] >= 0 and len(hlc) == 2 and all(whole(n) for n in hlc) and hlc[0] >= 0)
    if not good:
        raise Bad("R02")
    if not verified(value["dev"], b"witnessmark1/entry\n" + raw, signature):
        raise Bad("R06")
    value["id"] = hashlib.sha256(raw).hexdigest()
    value["leaf"] = hashlib.sha256(b"\0" + raw).digest()
    return value


class Tree:
    def __init__(self):
        self.size, self.peaks = 0, []

    def append(self, leaf):
        carry = self.size
        while carry & 1:
            leaf = hashlib.sha256(b"\1" + self.peaks.pop() + leaf).digest()
            carry >>= 1
        self.peaks.append(leaf)
        self.size += 1

    def root(self):
        root = self.peaks[-1]
        for peak in reversed(self.peaks[:-1]):
            root = hashlib.sha256(b"\1" + peak + root).digest()
        return root


def devid_of(dev):
    return hashlib.sha256(bytes.fromhex(dev)).hexdigest()[:16]


def head_of(raw, size, devid):
    try:
        lines = raw.decode("utf-8").split("\n")
    except UnicodeDecodeError:
        raise Bad("R02") from None
    if lines[-1] != "" or not lines[0].startswith(ROOT + "/"):
        raise Bad("R02")
    labels = {"head": None, "key": None}
    note = len(lines) == 8 and lines[5] == ""
    if not note and len(lines) != 6:
        raise Bad("R02")
    root = None
    rest = lines[2:5] if note else [None] + lines[2:4]
    if not re.fullmatch(r"[0-9]+", lines[1]) or not rest[1].startswith("head ") or not rest[2].startswith("key "):
        raise Bad("R02")
    head, key = rest[1][5:], rest[2][4:]
    try:
        if note:
            root = base64.b64decode(rest[0], validate=True)
            mark = "\u2014 " + lines[0] + " "
            sealed = base64.b64decode(lines[6][len(mark):], validate=True)
            same = base64.b64encode(root).decode() == rest[0] and base64.b64encode(sealed).decode() == lines[6][len(mark):]
            if not lines[6].startswith(mark) or len(root) != 32 or len(sealed) != 68 or not same or str(int(lines[1])) != lines[1]:
                raise Bad("R02")
            name = hashlib.sha256(lines[0].encode() + b"\n\1" + (bytes.fromhex(key) if is_hex(key, 64) else b"")).digest()
            if sealed[:4] != name[:4]:
                raise Bad("R02")
            message, signature = ("\n".join(lines[:5]) + "\n").encode(), sealed[4:]
        else:
            if not lines[4].startswith("signature ") or not is_hex(lines[4][10:], 128):
                raise Bad("R02")
            message = b"witnessmark1/head\n" + ("\n".join(lines[:4]) + "\n").encode()
            signature = bytes.fromhex(lines[4][10:])
    except ValueError:
        raise Bad("R02") from None
    plant, _, last = lines[0][len(ROOT) + 1:].rpartition("/")
    if "/" not in lines[0][len(ROOT) + 1:]:
        raise Bad("R02")
    if last != devid or not is_hex(key, 64) or devid_of(key) != devid or int(lines[1]) != size:
        raise Bad("R13")
    if not verified(key, message, signature):
        raise Bad("R06")
    return plant, head, root


class Folder:
    def __init__(self, path):
        self.path, self.codes, self.names = os.path.join(path, ROOT), [], set()
        self.machines, self.seen, self.entries = {}, [], 0
        self.plant_id = None

    def bad(self, code):
        self.codes.append(code)

    def listed(self, *parts):
        try:
            return sorted(os.listdir(os.path.join(self.path, *parts)))
        except OSError:
            return []

    def read(self, most, *parts):
        path = os.path.join(self.path, *parts)
        if os.path.getsize(path) > most:
            self.bad("R02")
            return None
        with open(path, "rb") as file:
            return file.read()

    def plain(self, *parts):
        path = os.path.join(self.path, *parts)
        return os.path.isfile(path) and not os.path.islink(path)

    def group(self, number):
        return "%06d" % ((number - 1) // 4096)

    def run(self):
        self.plant_files()
        self.roster()
        for devid in self.listed("dev"):
            if is_hex(devid, 16):
                self.machine(devid)
        self.witnesses()
        self.photos()

    def plant_files(self):
        """plant-<id>.txt says whose folder it is; one at most, and everything else with an id has that one."""
        found = [name for name in self.listed() if re.fullmatch(r"plant-[0-9a-f]{32}\.txt", name) and self.plain(name)]
        if len(found) > 1:
            self.bad("R10")
        for name in found:
            raw = self.read(4096, name)
            if raw is None:
                continue
            match = re.fullmatch(rb"witnessmark1/([^\n]+)\nplant ([0-9a-f]{32})\n(invented demo plant\n)?", raw)
            if not match:
                self.bad("R02")
            elif match[2].decode() != name[6:38]:
                self.bad("R13")
            else:
                self.plant_id = self.plant_id or name[6:38]

    def one_plant(self, body):
        mark = body.get("plant_id")
        if not is_hex(mark, 32):
            return
        self.plant_id = self.plant_id or mark
        if mark != self.plant_id:
            self.bad("R10")

    def roster(self):
        seq, prev, key, plant = 0, ZEROS, None, None
        ids = []
        for name in self.listed("roster"):
            match = re.fullmatch(r"(\d{10,})-([0-9a-f]{32})\.json", name)
            if not match or not self.plain("roster", name) or int(match[1]) < 1:
                continue
            raw = self.read(65537, "roster", name)
            if raw is None:
                continue
            if hashlib.sha256(raw).hexdigest()[:32] != match[2]:
                self.bad("R01")
                continue
            try:
                if not raw.endswith(b"\n"):
                    raise Bad("R07")
                line = raw[:-1]
                if len(line) < 131 or line[128:129] != b" ":
                    raise Bad("R07")
                if not is_hex(line[:128].decode("latin-1"), 128):
                    raise Bad("R07")
                signature, body, value = split_line(line, 65536)
                if whole(value.get("v")) and value["v"] > 1:
                    raise Bad("R03")
                if sorted(value) != ["at_ms", "by", "d", "kind", "plant", "prev", "seq", "v"] or not is_hex(value["prev"], 64):
                    raise Bad("R02")
                if not whole(value["seq"]) or value["seq"] < 1:
                    raise Bad("R02")
                if not isinstance(value["by"], str) or not verified(value["by"], b"witnessmark1/roster\n" + body, signature):
                    raise Bad("R06")
                if value["seq"] != int(match[1]):
                    raise Bad("R13")
                ident = hashlib.sha256(body).hexdigest()
                key, plant = key or value["by"], plant or value["plant"]
                if value["plant"] != plant:
                    raise Bad("R02")
                if value["seq"] <= seq:
                    raise Bad("R12") if ids[value["seq"] - 1] != ident else Bad("")
                if value["seq"] != seq + 1 or value["prev"] != prev:
                    raise Bad("R07")
                if value["by"] != key:
                    raise Bad("R06")
                if (value["seq"] == 1) != (value["kind"] == "root"):
                    raise Bad("R02")
                if value["kind"] in ("root", "root.rotate"):
                    key = value["d"]["keys"][0]
                seq, prev = seq + 1, ident
                ids.append(ident)
                if seq == 1:
                    self.one_plant(value["d"])
            except Bad as bad:
                if bad.code:
                    self.bad(bad.code)

    def machine(self, devid):
        segments, heads = [], []
        for group in self.listed("dev", devid, "seg"):
            for name in self.listed("dev", devid, "seg", group):
                match = re.fullmatch(r"(\d{10,})-(\d{10,})-([0-9a-f]{32})(?:-([2-9]))?\.jsonl", name)
                good = match and 1 <= int(match[1]) <= int(match[2]) and self.group(int(match[1])) == group
                if good and self.plain("dev", devid, "seg", group, name):
                    segments.append((int(match[1]), -int(match[2]), match[3], -int(match[4] or 1), group, name))
        for group in self.listed("dev", devid, "head"):
            for name in self.listed("dev", devid, "head", group):
                match = re.fullmatch(r"(\d{10,})-([0-9a-f]{32})\.txt", name)
                good = match and int(match[1]) >= 1 and self.group(int(match[1])) == group
                if good and self.plain("dev", devid, "head", group, name):
                    heads.append((int(match[1]), match[2], group, name))
        self.record, self.gap, self.plant = [], False, None
        for item in sorted(segments):
            self.segment(devid, *item)
        tree = Tree()
        for size, hash32, group, name in sorted(heads):
            self.head(devid, tree, size, hash32, group, name)
        if self.record:
            self.machines[self.record[0]["dev"]] = self.record
        self.names.add((devid, len(self.record)))
        self.entries += len(self.record)

    def segment(self, devid, first, last, hash32, _copy, group, name):
        raw = self.read(1 << 20, "dev", devid, "seg", group, name)
        if raw is None:
            return
        if hashlib.sha256(raw).hexdigest()[:32] != hash32:
            return self.bad("R01")
        try:
            entries, before = [], None
            rest = raw
            while rest:
                line, end, rest = rest.partition(b"\n")
                if not end:
                    raise Bad("R02")
                entry = entry_of(line)
                if devid_of(entry["dev"]) != devid or entry["seq"] != first + len(entries) or entry["seq"] > -last:
                    raise Bad("R13")
                if entry["plant"] != (self.plant or (before or entry)["plant"]):
                    raise Bad("R10")
                if before and (entry["prev"] != before["id"] or entry["hlc"] <= before["hlc"]):
                    raise Bad("R07")
                entries.append(entry)
                before = entry
            if len(entries) != -last - first + 1:
                raise Bad("R13")
        except Bad as bad:
            return self.bad(bad.code)
        self.plant = entries[0]["plant"]
        for entry in entries:
            have = len(self.record)
            if entry["seq"] > have + 1:
                if not self.gap:
                    self.bad("R07")
                self.gap = True
                return
            if entry["seq"] <= have:
                if self.record[entry["seq"] - 1]["id"] != entry["id"]:
                    return self.bad("R08")
                continue
            if entry["prev"] != (self.record[-1]["id"] if self.record else ZEROS) or (entry["seq"] == 1 and entry["kind"] != "genesis"):
                return self.bad("R07")
            self.record.append(entry)
            if entry["seq"] == 1 or entry["kind"] == "plant":
                self.one_plant(entry["d"])

    def head(self, devid, tree, size, hash32, group, name):
        raw = self.read(4096, "dev", devid, "head", group, name)
        if raw is None:
            return
        if hashlib.sha256(raw).hexdigest()[:32] != hash32:
            return self.bad("R01")
        try:
            plant, ident, root = head_of(raw, size, devid)
        except Bad as bad:
            return self.bad(bad.code)
        if size > len(self.record):
            if not self.gap:
                self.bad("R07")
            self.gap = True
            return
        while tree.size < size:
            tree.append(self.record[tree.size]["leaf"])
        if self.record[size - 1]["id"] != ident or plant != self.plant or (root is not None and root != tree.root()):
            self.bad("R08")

    def witnesses(self):
        seen = {}
        for record in self.machines.values():
            for entry in record:
                body = entry["d"]
                if entry["kind"] == "witness" and whole(body.get("seq")) and body["seq"] >= 1:
                    seen.setdefault(body.get("dev", ""), []).append(body)
        for dev, bodies in seen.items():
            record, tree = self.machines.get(dev, []), Tree()
            for body in sorted(bodies, key=lambda b: b["seq"]):
                if len(record) < body["seq"]:
                    self.bad("R07")
                    break
                while tree.size < body["seq"]:
                    tree.append(record[tree.size]["leaf"])
                if body.get("id", record[body["seq"] - 1]["id"]) != record[body["seq"] - 1]["id"] or \
                        body.get("root", tree.root().hex()) != tree.root().hex():
                    self.bad("R08")
                    break

    def photos(self):
        for group in self.listed("blob"):
            for name in self.listed("blob", group):
                match = re.fullmatch(r"([0-9a-f]{64})(?:-[2-9])?\.jpg", name)
                if not match or match[1][:2] != group or not self.plain("blob", group, name):
                    continue
                raw = self.read(32 << 20, "blob", group, name)
                if raw is not None and hashlib.sha256(raw).hexdigest() != match[1]:
                    self.bad("R11")


def main():
    if len(sys.argv) != 2 or not os.path.isdir(os.path.join(sys.argv[1], ROOT)):
        print("usage: verify.py FOLDER (that holds %s/)" % ROOT, file=sys.stderr)
        return 2
    print(json.dumps(report_of(sys.argv[1])))
    return 0


def report_of(path):
    folder = Folder(path)
    folder.run()
    return {"whole": not folder.codes, "codes": sorted(folder.codes), "entries": folder.entries,
            "machines": dict(folder.names)}


if __name__ == "__main__":
    sys.exit(main())
