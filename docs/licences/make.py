"""Write packages.txt: the licences of the Rust packages that Birdbath is built from.

Run from the repository root: python3 docs/licences/make.py
Needs cargo and the packages' own sources, which `cargo metadata` fetches where they are not there yet
(those of other platforms too). Only the standard library. The same Cargo.lock gives the same bytes.

What is taken: every package of the dependency tree but for what only tests need. Of a package that
offers a choice one licence is taken, and said. Its own licence files are quoted whole; one text is
printed once, with the packages under it and each one's own copyright lines. Licences of data that a
package carries (fonts, syntax definitions, citation styles) are quoted as they stand in it.
"""

import json
import re
import struct
import subprocess
import zlib
from pathlib import Path

HERE = Path(__file__).resolve().parent

# The first that a package offers is taken.
TAKEN = ["MIT", "MIT-0", "0BSD", "BSD-2-Clause", "BSD-3-Clause", "ISC", "Zlib", "Apache-2.0", "Unicode-3.0", "MPL-2.0",
         "Apache-2.0 WITH LLVM-exception"]
FILES = re.compile(r"licen[cs]e|copying|copyright|notice|unlicense|ofl|authors", re.I)
NOT_TEXT = {".rs", ".toml", ".bin", ".png", ".svg", ".html", ".lock"}
# Folders of a package that are not built into anything.
NOT_BUILT = {"tests", "scripts", "examples", "benches", "fuzz", "ci"}
WIDTH = 100

# Notices about files that a package builds in only with a feature that is off here: package, feature, what names them.
SWITCHED_OFF = {"typst-assets": ("fonts", "files/fonts/")}

# Kind of a text, by what that licence says; and where the words begin that all its users share.
KINDS = [
    ("Apache-2.0 WITH LLVM-exception", ["apache license", "llvm exceptions"], None),
    ("Apache-2.0", ["apache license", "version 2.0", "terms and conditions for use"], r"\s*apache license\s+version 2\.0"),
    ("MPL-2.0", ["mozilla public license", "version 2.0"], None),
    ("CC0-1.0", ["cc0 1.0 universal"], None),
    ("BSL-1.0", ["boost software license"], None),
    ("Unlicense", ["this is free and unencumbered software"], None),
    ("Unicode-3.0", ["unicode license v3"], r"permission is hereby granted"),
    ("Unicode-DFS-2016", ["unicode data files", "permission is hereby granted, free of charge"], None),
    ("MIT", ["permission is hereby granted, free of charge", "above copyright notice and this permission notice"],
     r"permission is hereby granted"),
    ("MIT-0", ["permission is hereby granted, free of charge"], r"permission is hereby granted"),
    ("Zlib", ["altered source versions must be plainly marked"], r"this software is provided"),
    ("BSD-3-Clause", ["redistribution and use in source and binary forms", "neither the name"], r"redistribution and use in source"),
    ("BSD-2-Clause", ["redistribution and use in source and binary forms"], r"redistribution and use in source"),
    ("ISC", ["permission to use, copy, modify, and/or distribute", "provided that the above copyright"], r"permission to use"),
    ("0BSD", ["permission to use, copy, modify, and/or distribute"], r"permission to use"),
    ("Apache-2.0", ["licensed under the apache license, version 2.0", "you may not use this file except"], r"licensed under the apache"),
]
# What the first says the second says too.
WITHIN = {("Apache-2.0 WITH LLVM-exception", "Apache-2.0"), ("MIT", "MIT-0"), ("Unicode-3.0", "MIT-0"), ("Unicode-DFS-2016", "MIT-0"),
          ("BSL-1.0", "MIT-0"), ("BSD-3-Clause", "BSD-2-Clause"), ("ISC", "0BSD")}
# Lines above the shared words that only name the licence.
TITLE = re.compile(
    r"[\W_]*((the )?(mit|isc|zlib|bsd|apache|unicode|new bsd|simplified bsd|modified bsd)\b.*licen[cs]e.*|licen[cs]e( \(mit\))?"
    r"|copyright and permission notice|all rights reserved|bsd [23]-clause.*|zlib|mit)[\W_]*", re.I)


def kinds(text):
    """Every licence that a text holds, with where its shared words begin."""
    low = " ".join(text.lower().split())
    found = {}
    for name, signs, start in KINDS:
        if all(sign in low for sign in signs):
            found.setdefault(name, start)
    return {name: start for name, start in found.items() if not any((other, name) in WITHIN for other in found)}


def kind(text):
    """The one licence that a text holds; none where it holds several or says something else."""
    found = kinds(text)
    return next(iter(found.items())) if len(found) == 1 else (None, None)


def taken(expression):
    """The licences that are taken of an expression: one of each choice, all of what is joined by AND."""
    tokens = re.findall(r"\(|\)|[^\s()]+", expression.replace("/", " OR ").replace(" WITH ", "_WITH_"))

    def either():
        best = both()
        while tokens and tokens[0] == "OR":
            tokens.pop(0)
            best = min(best, both(), key=rank)
        return best

    def both():
        out = one()
        while tokens and tokens[0] == "AND":
            tokens.pop(0)
            out = out + one()
        return out

    def one():
        token = tokens.pop(0)
        if token == "(":
            inner = either()
            tokens.pop(0)
            return inner
        return [token.replace("_WITH_", " WITH ")]

    def rank(names):
        return max(TAKEN.index(n) if n in TAKEN else len(TAKEN) for n in names)

    return either()


def packages():
    said = subprocess.run(["cargo", "metadata", "--locked", "--format-version", "1"], cwd=HERE.parent.parent,
                          check=True, capture_output=True, text=True).stdout
    meta = json.loads(said)
    by_id = {p["id"]: p for p in meta["packages"]}
    nodes = {n["id"]: n for n in meta["resolve"]["nodes"]}
    root = meta["resolve"]["root"]
    seen, left = set(), [root]
    while left:
        at = left.pop()
        if at not in seen:
            seen.add(at)
            left += [d["pkg"] for d in nodes[at]["deps"] if {k["kind"] for k in d["dep_kinds"]} != {"dev"}]
    tree = sorted((by_id[i] for i in seen - {root}), key=lambda p: (p["name"], p["version"]))
    return tree, {(by_id[i]["name"], by_id[i]["version"]): set(nodes[i]["features"]) for i in seen}


def clean(text):
    """As it stands, but for line ends and blanks at them."""
    return "\n".join(line.rstrip() for line in text.replace("\r\n", "\n").replace("\x0c", "").split("\n")).strip("\n")


def files(package):
    """Licence files of a package: path inside it and text."""
    folder = Path(package["manifest_path"]).parent
    found = []
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        if path.is_file() and FILES.search(path.name) and path.suffix not in NOT_TEXT and not NOT_BUILT & set(inside.parts[:-1]):
            text = clean(path.read_text("utf-8", "replace"))
            # Some files hold only the name of another file or of a licence.
            if len(text.split()) > 10:
                found.append((str(inside), text))
    return found


def built_in(package, text, features):
    """A notice without its parts about files that are not built in."""
    feature, folder = SWITCHED_OFF.get(package["name"], ("", ""))
    if not feature or feature in features:
        return text
    return "\n".join(part.strip("\n") for part in re.split(r"(?m)^(?==+$)", text) if folder not in part and part.strip("=\n"))


def syntax_definitions(package):
    """Licences of the syntax definitions that the package carries packed: path of each and text."""
    data = zlib.decompress((Path(package["manifest_path"]).parent / "generated/acknowledgements_full.bin").read_bytes())
    at = 0

    def number(form):
        nonlocal at
        (value,) = struct.unpack_from(form, data, at)
        at += struct.calcsize(form)
        return value

    def words():
        nonlocal at
        size = number("<Q")
        at += size
        return data[at - size:at].decode()

    found = []
    for _ in range(2):  # of syntaxes, then of themes
        for _ in range(number("<Q")):
            number("<I")
            text = words()
            found.append((words(), clean(text)))
    assert at == len(data), "the packed list has another form than was expected"
    return found


def kept(package, features):
    """What is quoted of a package, as (its name here, text), and the licences whose text it does not carry."""
    name = f"{package['name']} {package['version']}"
    chosen = taken(package["license"])
    out, has = [], set()
    listed = files(package)
    for path, text in listed:
        text = built_in(package, text, features)
        holds = set(kinds(text))
        what = None if "notice" in path.lower() else kind(text)[0]
        at_top = "/" not in path
        if at_top and what is not None and what not in chosen and what in package["license"]:
            continue  # the other side of a choice
        if at_top and what is None and re.search(r"authors|copying|copyright", path, re.I):
            # Says which licences there are, or who wrote it; needed only where nothing else is there.
            if not holds & set(chosen) and any(kind(t)[0] in chosen for _, t in listed):
                if re.search(r"^\s*copyright", text, re.I | re.M):
                    out.append((name, text))
                continue
        has |= holds
        out.append((name if at_top else f"{name}: {path}", text))
    if package["name"] == "two-face":
        out += [(f"{name}: {path}", text) for path, text in syntax_definitions(package)]
    return out, [c for c in chosen if c not in has]


def parts(text):
    """(what stands above the shared words, the shared words, the licence's name)."""
    what, start = kind(text)
    if start is None:
        return "", text, what
    at = re.search(start, text, re.I)
    head = [line.strip(" \t#*") for line in text[:at.start()].split("\n")]
    head = [line for line in head if line and not TITLE.fullmatch(line)]
    body = text[at.start():].strip("\n")
    if what == "Apache-2.0":
        # Names stand in the appendix there.
        own = re.findall(r"^\s*(copyright (?!\[yyyy\]|\{yyyy\}|owner|notice|holder|statement|license)[^\n]*\d{4}[^\n]*)$", body, re.I | re.M)
        head += [line for line in own if line not in head]
    return "\n".join(head), body, what


def key(body, what):
    if what == "Apache-2.0":
        body = re.split(r"end of terms and conditions", body, flags=re.I)[0]
    return what, tuple(re.findall(r"[a-z0-9]+", body.lower()))


def usual(what, tree):
    """The words of a licence as most packages carry them: (key, text)."""
    seen = {}
    for package in tree:
        for _, text in files(package):
            if kind(text)[0] == what:
                body = parts(text)[1]
                seen.setdefault(key(body, what), []).append(body)
    assert seen, f"no package carries the text of {what}; say here where it is to come from"
    most = max(seen, key=lambda k: (len(seen[k]), k))
    return most, seen[most][0]


def wrapped(names):
    """Names one after another, as many to a line as fit."""
    lines = [""]
    for name in names:
        if lines[-1] and len(lines[-1]) + 1 + len(name) > WIDTH:
            lines.append("")
        lines[-1] = f"{lines[-1]} {name}".strip()
    return lines


def main():
    tree, features = packages()
    groups, bodies, wholes, bare = {}, {}, {}, []
    for package in tree:
        texts, lacking = kept(package, features[package["name"], package["version"]])
        for name, text in texts:
            head, body, what = parts(text)
            group = key(body, what)
            bodies.setdefault(group, body)
            wholes.setdefault(group, text)
            heads = groups.setdefault(group, {})
            names = heads.setdefault(head, [])
            if name not in names:
                names.append(name)
        bare += [(package, what) for what in lacking]
    # A package without its licence's text: the text as most others carry it, and what it says of its authors.
    for package, what in bare:
        group = usual(what, tree)
        bodies.setdefault(group[0], group[1])
        group = group[0]
        authors = ", ".join(re.sub(r"\s*<[^>]*>", "", a) for a in package["authors"]) or "not named in the package"
        head = f"(no licence file in the package; authors: {authors})"
        groups.setdefault(group, {}).setdefault(head, []).append(f"{package['name']} {package['version']}")

    out = ["PACKAGES", "", "Each with the licence under which it is used here and, in brackets, what it offers where that is more.", ""]
    for package in tree:
        use = " AND ".join(taken(package["license"]))
        more = "" if use == package["license"] else f" ({package['license']})"
        out.append(f"{package['name']} {package['version']}: {use}{more}")
    order = sorted(groups, key=lambda g: (TAKEN.index(g[0]) if g[0] in TAKEN else len(TAKEN), g[0] or "~",
                                          -sum(map(len, groups[g].values())), min(map(min, groups[g].values()))))
    for number, group in enumerate(order, 1):
        out += ["", "=" * WIDTH, f"TEXT {number}" + (f": {group[0]}" if group[0] else ""), ""]
        heads = sorted(groups[group].items(), key=lambda h: (h[1][0], h[0]))
        alone = len(heads) == 1 and group in wholes
        for head, names in heads:
            out += wrapped([n + "," for n in names[:-1]] + [names[-1]])
            out += ["    " + line for line in head.split("\n") if line and not alone]
        out += ["-" * WIDTH, wholes[group] if alone else bodies[group]]
    text = "\n".join(out) + "\n"
    (HERE / "packages.txt").write_text(text, encoding="utf-8")
    print(f"{len(tree)} packages, {len(order)} texts, {len(text.encode())} bytes")


if __name__ == "__main__":
    main()
