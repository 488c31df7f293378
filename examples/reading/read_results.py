"""Reads the results of a bench in Python: tables, fields, the map, a crate.

    python3 read_results.py FOLDER            the results of a run, as emberbank run leaves them
    python3 read_results.py FOLDER --crate    a crate, as emberbank crate leaves it
    python3 read_results.py TABLE             one table: a .csv, .parquet or .xlsx of any result

What needs no more than Python itself is always read. pyarrow reads the Parquet files, openpyxl a study's workbook; one that
is not installed is named under "missing". It prints one JSON document.
"""

import base64
import csv
import hashlib
import importlib
import json
import pathlib
import re
import struct
import sys
import xml.etree.ElementTree as xml
from urllib.parse import unquote


def table(path):
    """A CSV file as (names, units, columns): each heading is "name [unit]"; an empty cell is None."""
    with open(path, newline="", encoding="utf-8") as f:
        rows = list(csv.reader(f))
    headings = [re.fullmatch(r"(.*?)(?: \[(.*)\])?", h).groups() for h in rows[0]]
    names, units = [h[0] for h in headings], [h[1] for h in headings]

    def value(text):
        if text == "":
            return None
        try:
            return float(text)
        except ValueError:
            return text

    return names, units, [[value(r[i]) for r in rows[1:]] for i in range(len(names))]


def field(path):
    """A .vtr file (VTK XML, rectilinear grid) as a mapping from each array's name to its numbers. An array is base64 of its
    length in bytes, eight of them, and of little-endian doubles (or single bytes, as the part's number)."""
    arrays = {}
    for a in xml.parse(path).getroot().iter("DataArray"):
        if a.get("format") != "binary":
            continue
        raw = base64.b64decode("".join(a.text.split()))
        (size,) = struct.unpack("<Q", raw[:8])
        kinds = {"Float64": "d", "Float32": "f", "Int32": "i", "UInt8": "B", "Int8": "b", "Int16": "h"}
        kind = kinds[a.get("type")]
        arrays[a.get("Name")] = struct.unpack("<%d%s" % (size // struct.calcsize(kind), kind), raw[8 : 8 + size])
    return arrays


def interpolate(temperatures, values, at):
    """The map between its rows: a straight line. Outside of them there is none, and None is returned."""
    for i in range(1, len(temperatures)):
        low, high = temperatures[i - 1], temperatures[i]
        if low <= at <= high:
            share = 0.0 if high == low else (at - low) / (high - low)
            return values[i - 1] + share * (values[i] - values[i - 1])
    return None


missing = []  # libraries that are not installed


def library(name):
    """A library, or None where it is not installed, which is then told."""
    try:
        return importlib.import_module(name)
    except ImportError:
        if name not in missing:
            missing.append(name)
        return None


def parquet(path):
    """Rows, columns and each column's unit, as the metadata of the file state it; None without pyarrow. For a frame of pandas:
    pyarrow.parquet.read_table(path).to_pandas()."""
    reader = library("pyarrow.parquet")
    if reader is None:
        return None
    read = reader.read_table(path)
    said = read.schema.metadata or {}
    units = {k[len(b"unit:") :].decode(): u.decode() for k, u in said.items() if k.startswith(b"unit:")}
    return {"rows": read.num_rows, "columns": read.num_columns, "units": units}


def workbook(path):
    """Each sheet's rows and its first row, which are its headings; None without openpyxl."""
    openpyxl = library("openpyxl")
    if openpyxl is None:
        return None
    sheets = {}
    for sheet in openpyxl.load_workbook(path, read_only=True):
        rows = list(sheet.iter_rows(values_only=True))
        sheets[sheet.title] = {"rows": len(rows) - 1, "headings": list(rows[0])}
    return sheets


def maps(path):
    """The maps of a map.csv: one for each wetted area, and for the trial's and the run's own."""
    names, _, columns = table(path)
    column = {n: c for n, c in zip(names, columns)}
    found = {}
    for row in zip(column["of"], column["from"], column["wetted area"], column["block temperature"], column["heat flow"]):
        T, q = found.setdefault(row[:3], ([], []))
        T.append(row[3])
        q.append(row[4])
    return found


def mean_over(arrays, number):
    """The mean temperature of a part by volume. Cells that a tube runs through count whole."""
    edges = [arrays[a + " [m]"] for a in ("depth", "width", "height")]
    depth, width, height = ([b - a for a, b in zip(e, e[1:])] for e in edges)
    heat = volume = 0.0
    for i, (part, T) in enumerate(zip(arrays["part [1]"], arrays["temperature [degC]"])):
        if part == number:  # depth runs fastest, then width
            v = depth[i % len(depth)] * width[i // len(depth) % len(width)] * height[i // len(depth) // len(width)]
            heat, volume = heat + v * T, volume + v
    return heat / volume


def run(folder):
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    out = {"title": summary["title"], "cautions": len(summary["cautions"])}
    names, units, columns = table(folder / "history.csv")
    at = names.index("block mean")
    out["history"] = {"rows": len(columns[0]), "columns": len(names), "unit of block mean": units[at], "last block mean": columns[at][-1]}
    block = next((p["part"] for p in summary.get("parts", []) if p["role"] == "block"), None)
    out["fields"] = {}
    for path in sorted((folder / "fields").glob("*.vtr")):
        arrays = field(path)
        t = [T for T in arrays["temperature [degC]"] if T == T]  # there is none in air
        out["fields"][path.name] = {"cells": len(t), "least": min(t), "most": max(t), "block mean": None if block is None else mean_over(arrays, block)}
    if (folder / "map.csv").exists():
        T, q = next(iter(maps(folder / "map.csv").values()))
        middle = (T[0] + T[1]) / 2 if len(T) > 1 else T[0]
        out["map"] = {"rows": len(T), "at": middle, "heat flow": interpolate(T, q, middle), "outside": interpolate(T, q, T[0] - 1)}
    out["parquet"] = parquet(folder / "history.parquet")
    return out


def crate(folder):
    graph = json.loads((folder / "ro-crate-metadata.json").read_text(encoding="utf-8"))["@graph"]
    wrong = []
    files = [e for e in graph if e["@type"] == "File"]
    for e in files:
        raw = (folder / unquote(e["@id"])).read_bytes()
        if hashlib.sha256(raw).hexdigest() != e["sha256"] or str(len(raw)) != e["contentSize"]:
            wrong.append(e["@id"])
    root = next(e for e in graph if e["@id"] == "./")
    made = [e["name"] for e in graph if e["@type"] == "CreateAction"]
    return {"name": root["name"], "license": root["license"]["@id"], "files": len(files), "otherwise": wrong, "made by": made}


def one(path):
    if path.suffix == ".xlsx":
        return {"sheets": workbook(path)}
    if path.suffix == ".parquet":
        return {"parquet": parquet(path)}
    names, units, columns = table(path)
    return {"table": {"rows": len(columns[0]), "units": dict(zip(names, units))}}


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    where = pathlib.Path(sys.argv[1])
    if "--crate" in sys.argv:
        result = crate(where)
    elif where.is_file():
        result = one(where)
    else:
        result = run(where)
    result["missing"] = missing
    json.dump(result, sys.stdout, indent=1, ensure_ascii=False)
    print()
