#!/usr/bin/env python3
"""Packs an hourly table (columns utc, temp_c, rh_pct; gz or plain) into the form read by src/bundle.rs.

    make_bundle.py champaign_il_1995_2023.csv.gz champaign.bin

Form: first stamp (hours since 1970-01-01T00:00Z, signed 64 bit, little endian), number of stamps (unsigned 64 bit), then
one raw deflate stream of three planes: low bytes and high bytes of the steps of temperature (hundredths of a degree Celsius,
signed 16 bit, first step from 0) and the steps of relative humidity (whole percent, 8 bit, wrapping).
The table must be hourly without a hole; nothing is rounded: a value that does not fit is refused.
"""
import csv
import datetime
import gzip
import struct
import sys
import zlib


def main(source, target):
    opened = gzip.open(source, "rt") if source.endswith(".gz") else open(source)
    hours, temperature, humidity = [], [], []
    epoch = datetime.datetime(1970, 1, 1)
    with opened as table:
        for row in csv.DictReader(table):
            at = datetime.datetime.strptime(row["utc"], "%Y-%m-%dT%H:%MZ") - epoch
            assert at.seconds % 3600 == 0, row
            hours.append(at.days * 24 + at.seconds // 3600)
            hundredths = round(float(row["temp_c"]) * 100)
            assert abs(hundredths / 100 - float(row["temp_c"])) < 1e-9, row
            temperature.append(hundredths)
            percent = int(row["rh_pct"])
            assert 0 <= percent <= 100, row
            humidity.append(percent)
    assert all(b - a == 1 for a, b in zip(hours, hours[1:])), "the table has holes"

    def steps(values, modulus):
        return [(b - a) % modulus for a, b in zip([0] + values, values)]

    t = steps(temperature, 1 << 16)
    planes = bytes(v & 255 for v in t) + bytes(v >> 8 for v in t) + bytes(steps(humidity, 256))
    squeeze = zlib.compressobj(9, zlib.DEFLATED, -15)
    body = squeeze.compress(planes) + squeeze.flush()
    with open(target, "wb") as out:
        out.write(struct.pack("<qQ", hours[0], len(hours)) + body)
    print(f"{len(hours)} stamps, {len(body) + 16} bytes")


main(*sys.argv[1:])
