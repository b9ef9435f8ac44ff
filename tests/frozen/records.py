#!/usr/bin/env python3
"""The records in an image of the log's flash, one a line: number, tab, sealed bytes in hexadecimal.

    records.py IMAGE [BYTES-OF-A-PAGE]     the image may be gzip-compressed; a page has 1024 bytes

Written from `firmware/core/FLASH.md` (log format version 1) apart from the project's own code, so that
the two can be held against each other. It reads sound images only: every page of a log has a whole
header, and nothing is left of an older log.
"""

import gzip
import pathlib
import struct
import sys
import zlib

HEADER, SLOT, WORD = 16, 48, 4


def header(page):
    """Log and lap of a page, or None where it has no whole header."""
    magic, version, lap, log, _first, crc = struct.unpack("<2sBBIII", page[:HEADER])
    whole = magic == b"HR" and version == 1 and crc == zlib.crc32(page[:12])
    return (log, lap) if whole else None


def record(slot, log, lap, page, at):
    """The sealed bytes in a slot, or None where it has no committed record."""
    kind, length = slot[0], slot[1]
    if kind != ord("R") or not 10 <= length <= 40:
        return None
    words = slot[: (4 + length + WORD - 1) // WORD * WORD]
    commit = zlib.crc32(struct.pack("<IBIH", log, lap, page, at) + words)
    # A commit word never looks blank.
    commit = 0 if commit == 0xFFFFFFFF else commit
    if commit != struct.unpack("<I", slot[44:48])[0]:
        return None
    return slot[4 : 4 + length]


def records(image, page_bytes=1024):
    """All records on flash, released or not, in the order of their numbers."""
    found = {}
    for page in range(len(image) // page_bytes):
        whole = image[page * page_bytes : (page + 1) * page_bytes]
        of = header(whole)
        if of is None:
            continue
        for at in range((page_bytes - HEADER) // SLOT):
            slot = whole[HEADER + at * SLOT :][:SLOT]
            sealed = record(slot, *of, page, at)
            if sealed is not None:
                found[struct.unpack("<I", sealed[2:6])[0]] = sealed
    return sorted(found.items())


def main():
    image = pathlib.Path(sys.argv[1]).read_bytes()
    if image[:2] == b"\x1f\x8b":
        image = gzip.decompress(image)
    for seq, sealed in records(image, *map(int, sys.argv[2:3])):
        print(f"{seq}\t{sealed.hex()}")


if __name__ == "__main__":
    main()
