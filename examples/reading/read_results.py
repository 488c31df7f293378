"""Reads the results of a bench in Python: tables, fields, the map, a crate.

    python3 read_results.py FOLDER            the results of a run, as emberbank run leaves them
    python3 read_results.py FOLDER --crate    a crate, as emberbank crate leaves it
    python3 read_results.py TABLE.xlsx        a study's workbook

What needs no more than Python itself is always read. pandas with pyarrow reads the Parquet files, openpyxl a study's
workbook; what is not installed is named. It prints one JSON document.
"""

import base64
import csv
import hashlib
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


def parquet(path):
    """Rows, columns and the units that the file's metadata state; None where pandas and pyarrow are not installed."""
    try:
        import pandas
        import pyarrow.parquet
    except ImportError:
        return None
    frame = pandas.read_parquet(path)
    said = pyarrow.parquet.read_metadata(path).metadata or {}
    return {"rows": len(frame), "columns": len(frame.columns), "metadata": sorted(k.decode() for k in said)}


def run(folder):
    out = {"missing": []}
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    out["title"], out["cautions"] = summary["title"], len(summary["cautions"])
    names, units, columns = table(folder / "history.csv")
    at = names.index("block mean")
    out["history"] = {"rows": len(columns[0]), "columns": len(names), "unit of block mean": units[at], "last block mean": columns[at][-1]}
    out["fields"] = {}
    for path in sorted((folder / "fields").glob("*.vtr")):
        t = field(path)["temperature [degC]"]
        out["fields"][path.name] = {"cells": len(t), "least": min(t), "most": max(t)}
    if (folder / "map.csv").exists():
        names, _, columns = table(folder / "map.csv")
        T, q = columns[names.index("block temperature")], columns[names.index("heat flow")]
        middle = (T[0] + T[1]) / 2 if len(T) > 1 else T[0]
        out["map"] = {"rows": len(T), "at": middle, "heat flow": interpolate(T, q, middle), "outside": interpolate(T, q, T[0] - 1)}
    out["parquet"] = parquet(folder / "history.parquet")
    if out["parquet"] is None:
        out["missing"].append("pandas with pyarrow")
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


def workbook(path):
    """Names of a workbook's sheets; None where openpyxl is not installed."""
    try:
        import openpyxl
    except ImportError:
        return None
    return openpyxl.load_workbook(path, read_only=True).sheetnames


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    where = pathlib.Path(sys.argv[1])
    if "--crate" in sys.argv:
        result = crate(where)
    elif where.suffix == ".xlsx":
        result = {"sheets": workbook(where)}
    else:
        result = run(where)
    json.dump(result, sys.stdout, indent=1, ensure_ascii=False)
    print()
