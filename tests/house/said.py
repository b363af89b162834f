#!/usr/bin/env python3
"""Looks over the sources for what no test makes happen.

    said.py SOURCES refusals   every refusal the rules can say is read by a test of the procedure (part of tests/run)
    said.py SOURCES faults     every fault a public header names is made to happen; lists those that are not yet

A fault counts as tested when one test file names the function and the fault; where a test comes to it by another
way, tests/house/faults.tsv says which (header, function, fault, name of the test).
"""
import pathlib
import re
import sys

FAULTS = set("bad_input out_of_range not_found refused io no_space no_memory corrupt unknown_signer bad_signature "
             "conflict locked unsupported".split())


def joined(text):
    """String literals that stand behind one another, made one."""
    return re.sub(r'"\s*\n?\s*"', "", text)


def calls(text, name):
    """What stands between the brackets of each call of `name`."""
    for found in re.finditer(rf"\b{name}\(", text):
        depth, at = 1, found.end()
        while depth and at < len(text):
            if text[at] == '"':
                at = text.index('"', at + 1)
            depth += {"(": 1, ")": -1}.get(text[at], 0)
            at += 1
        yield text[found.end():at]


def unread_refusals(home):
    tests = joined("\n".join(p.read_text() for p in sorted((home / "tests/engine/procedure").glob("*.cpp"))))
    rules = sorted((home / "engine/procedure").glob("rules*.cpp"))
    for path in rules:
        text = joined(path.read_text())
        for name in ("refusal", "failure"):
            for call in calls(text, name):
                pieces = [piece.strip(" .;,'") for piece in re.findall(r'"([^"]*)"', call)]
                longest = max(pieces, key=len, default="")
                if len(longest) > 6 and longest not in tests:
                    yield f"{path.name}: no test of the procedure reads the refusal '{longest}'"


def named_faults(home):
    """(header, function, fault) as the comments of public headers say."""
    for path in sorted(p for room in ("engine", "sync", "field") for p in (home / room).rglob("*.h")):
        lines, at = path.read_text().split("\n"), 0
        while at < len(lines):
            if not lines[at].strip().startswith("///"):
                at += 1
                continue
            comment = ""
            while lines[at].strip().startswith("///"):
                comment += lines[at].strip()[3:]
                at += 1
            said = set(re.findall(r"Fault::(\w+)", comment))
            for tail in re.findall(r"Faults: (.*)", comment):
                said |= set(re.findall(r"\w+", re.sub(r"\([^)]*\)", "", tail).split(". ")[0])) & FAULTS
            declared = re.search(r"(\w+)\(", " ".join(lines[at:at + 3]).replace("[[nodiscard]]", ""))
            for fault in sorted(said & FAULTS):
                yield str(path.relative_to(home)), declared.group(1) if declared else "?", fault


def untested_faults(home):
    files = [p.read_text() for p in sorted((home / "tests").rglob("*.cpp"))]
    rows, table = {}, home / "tests/house/faults.tsv"
    for line in table.read_text().splitlines() if table.exists() else []:
        if line and not line.startswith("#"):
            header, function, fault, test = line.split("\t")
            rows[header, function, fault] = test
    everything = "\n".join(files) + "\n".join(p.read_text() for p in (home / "tests").rglob("*.py"))
    for key in named_faults(home):
        test = rows.pop(key, None)
        if test is not None:
            if test not in everything:
                yield f"{key[0]}: the test '{test}' of faults.tsv is not there"
            continue
        if not any(re.search(rf"\b{re.escape(key[1])}\b", text) and "Fault::" + key[2] in text for text in files):
            yield f"{key[0]}: no test makes {key[1]} fail with {key[2]}"
    for header, function, fault in rows:
        yield f"faults.tsv: {header} no longer says that {function} fails with {fault}"


def main():
    lists = {"refusals": unread_refusals, "faults": untested_faults}
    if len(sys.argv) != 3 or sys.argv[2] not in lists:
        sys.exit(__doc__)
    complaints = list(lists[sys.argv[2]](pathlib.Path(sys.argv[1])))
    print("\n".join(complaints))
    good = not complaints
    print(f"test cases: 1 | {int(good)} passed | {int(not good)} failed")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
