"""A recorded pull in which callipers have other outputs. The player of stories has two of the four; records of the
others are made of theirs, sealed and framed again by SPEC.md, sections 2 and 5, and by none of our code."""

import struct
import zlib

RESPONSE, BATCH, READING = 0x52, 3, 9


def uncobs(data):
    out = bytearray()
    while data:
        code, data = data[0], data[1:]
        block, data = data[: code - 1], data[code - 1 :]
        out += block
        if code < 0xFF and data:
            out.append(0)
    return bytes(out)


def cobs(data):
    out = bytearray()
    for part in data.split(b"\0"):
        while len(part) >= 254:
            out += b"\xff" + part[:254]
            part = part[254:]
        out += bytes([len(part) + 1]) + part
    return bytes(out)


def varint(data, at):
    """The number, and where the next one begins."""
    value = shift = 0
    while True:
        byte = data[at]
        value |= (byte & 0x7F) << shift
        at, shift = at + 1, shift + 7
        if byte < 0x80:
            return value, at


def crc(data):
    return struct.pack("<I", zlib.crc32(data))


def record(sealed, cover, kinds):
    """The sealed record, with another calliper if it is a reading. The kind is the body's last byte."""
    body = bytearray(sealed[6:-4])
    tag = varint(body, varint(body, varint(body, 0)[1])[1])[0]
    if tag != READING:
        return sealed
    body[-1] = kinds[body[-1]]
    head = sealed[:6] + bytes(body)
    return head + crc(cover + head)


def frame(plain, cover, kinds):
    """The frame before COBS, with other callipers in its batch, if it has one."""
    if plain[1] != RESPONSE or plain[4] != BATCH:
        return plain
    body = plain[4:-4]
    at = varint(body, varint(body, 1)[1])[1]
    length, at = varint(body, at)
    run, records = body[at : at + length], b""
    while run:
        size = 10 + run[1]
        records, run = records + record(run[:size], cover, kinds), run[size:]
    assert len(records) == length
    made = plain[:4] + body[:at] + records
    return made + crc(made)


def with_kinds(text, device, log, kinds):
    """The session, each calliper kind replaced by the one that `kinds` gives for it."""
    cover = struct.pack("<QI", device, log)
    title, *lines = text.splitlines()
    out, waiting = [title], b""
    for line in lines:
        if line[:1] != "<":
            out.append(line)
            continue
        # A receive may end anywhere in a frame; what is whole goes out where its end came.
        *whole, waiting = (waiting + bytes.fromhex(line[1:])).split(b"\0")
        frames = [cobs(frame(uncobs(one), cover, kinds)) if one else one for one in whole]
        if frames:
            out.append("< " + b"".join(one + b"\0" for one in frames).hex(" "))
    assert not waiting, "the session ends within a frame"
    return "\n".join(out) + "\n"
