"""Reads a file of rows as a program of somebody else does, with nothing but Python's own library.

    python3 tests/read_rows.py csv FILE
    python3 tests/read_rows.py json-lines FILE
    python3 tests/read_rows.py xlsx FILE

Writes one JSON object: `headings`, `rows` (a list of cells each, in the order of the headings), and `end`, the number
of rows that the file says it has; null where it does not say. A cell is a text, a number, or null.
"""

import csv
import datetime
import json
import re
import sys
import xml.etree.ElementTree as tree
import zipfile

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"


def typed(cell):
    """What was typed, from a cell that was made harmless."""
    signs = "=+\\-@\uff1d\uff0b\uff0d\uff20"
    cell = re.sub(f"^'(?='*[{signs}\t\r\n])", "", cell)
    return re.sub(f"(?<=[;\t\r\n])'(?=['\" ]*[{signs}])", "", cell)


def of_commas(path):
    with open(path, encoding="utf-8-sig", newline="") as file:
        headings, *rows = csv.reader(file, strict=True)
    assert headings[-2:] == ["key", "end"], headings
    ends = [row[-1] for row in rows]
    assert all(end == "" for end in ends[:-1]), ends
    if ends == ["0"]:
        # A file without rows has one that says so, and nothing else.
        assert all(cell == "" for cell in rows[0][:-1]), rows
        return headings[:-1], [], 0
    end = int(ends[-1]) if ends and ends[-1] else None
    return headings[:-1], [[typed(cell) or None for cell in row[:-1]] for row in rows], end


def of_lines(path):
    with open(path, encoding="utf-8", newline="\n") as file:
        objects = [json.loads(line) for line in file]
    end = objects.pop()["end"]["rows"] if objects and list(objects[-1]) == ["end"] else None
    headings = list(objects[0]) if objects else []
    assert all(list(one) == headings for one in objects)
    return headings, [list(one.values()) for one in objects], end


def text_of(element):
    text = "".join(part.text or "" for part in element.iter(MAIN + "t"))
    return re.sub("_x([0-9A-Fa-f]{4})_", lambda found: chr(int(found[1], 16)), text)


def column_of(place):
    number = 0
    for letter in place.rstrip("0123456789"):
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1


def day_of(number, form):
    at = datetime.datetime(1899, 12, 30) + datetime.timedelta(days=float(number))
    at = (at + datetime.timedelta(milliseconds=500)).replace(microsecond=0)
    return at.strftime("%Y-%m-%dT%H:%M:%SZ" if "h" in form else "%Y-%m-%d")


def cell_of(cell, forms):
    if cell.get("t") == "inlineStr":
        return typed(text_of(cell))
    assert cell.find(MAIN + "f") is None, "a formula"
    number = cell.find(MAIN + "v").text
    form = forms.get(int(cell.get("s", "0")), "")
    return day_of(number, form) if form else json.loads(number)


def of_workbook(path):
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        styles = tree.fromstring(archive.read("xl/styles.xml"))
        codes = {one.get("numFmtId"): one.get("formatCode") for one in styles.iter(MAIN + "numFmt")}
        places = enumerate(styles.find(MAIN + "cellXfs"))
        forms = {at: codes[one.get("numFmtId")] for at, one in places if one.get("numFmtId") in codes}
        links = tree.fromstring(archive.read("xl/_rels/workbook.xml.rels"))
        parts = {one.get("Id"): one.get("Target") for one in links}
        book = tree.fromstring(archive.read("xl/workbook.xml"))
        headings, rows = None, []
        for sheet in book.iter(MAIN + "sheet"):
            data = tree.fromstring(archive.read("xl/" + parts[sheet.get(LINK)]))
            some = [{column_of(c.get("r")): cell_of(c, forms) for c in row} for row in data.iter(MAIN + "row")]
            first = some.pop(0)
            headings = [first[at] for at in range(len(first))]
            rows += [[row.get(at) for at in range(len(headings))] for row in some]
    return headings, rows, len(rows)


def main():
    form, path = sys.argv[1:]
    read = {"csv": of_commas, "json-lines": of_lines, "xlsx": of_workbook}[form]
    headings, rows, end = read(path)
    json.dump({"headings": headings, "rows": rows, "end": end}, sys.stdout)


main()
