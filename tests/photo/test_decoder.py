"""The process that decodes: whatever is sent, it answers in one sentence and within its limits, and the next one opens."""

from __future__ import annotations

import io
import os
import signal
import struct
import subprocess
import sys
import threading
import time
import zlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from seamlore.errors import PhotoError
from seamlore.photo.files.decoder import Decoder
from seamlore.photo.files.limits import MOST_PIXELS
from seamlore.photo.opening import open_photo

DATA = Path(__file__).parents[1] / "data"


def saved(picture, kind, **how):
    file = io.BytesIO()
    picture.save(file, kind, **how)
    return file.getvalue()


def chunk(kind, body):
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(wide, tall, bits, color, data, *more):
    """A PNG by hand (ISO/IEC 15948): Pillow writes neither 16-bit color nor what is wrong."""
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", wide, tall, bits, color, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + b"".join(more) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def zeros(count):
    """So many zeros, packed: a thousandth of their size."""
    packer, block = zlib.compressobj(9), bytes(1 << 20)
    whole = b"".join(packer.compress(block) for _ in range(count >> 20))
    return whole + packer.compress(bytes(count & ((1 << 20) - 1))) + packer.flush()


def tiff(*entries, data=b""):
    """A TIFF of one page by its tags (TIFF 6.0, section 2): tag, type, count, value."""
    body = struct.pack("<H", len(entries)) + b"".join(struct.pack("<HHII", *each) for each in entries)
    return b"II*\0" + struct.pack("<I", 8) + body + bytes(4) + data


def gif(wide, tall):
    """A GIF89a that claims a size (CompuServe 1990, sections 18 and 20)."""
    palette, packed = bytes(6), b"\x02\x02\x4c\x01\x00"
    place = struct.pack("<BHHHHB", 0x2C, 0, 0, wide, tall, 0)
    return b"GIF89a" + struct.pack("<HHBBB", wide, tall, 0x80, 0, 0) + palette + place + packed + b"\x3b"


def webp(wide, tall):
    body = struct.pack("<B3x", 0x02) + (wide - 1).to_bytes(3, "little") + (tall - 1).to_bytes(3, "little")
    chunks = b"WEBPVP8X" + struct.pack("<I", len(body)) + body + b"ANIM" + struct.pack("<IIH", 6, 0, 0)
    return b"RIFF" + struct.pack("<I", len(chunks)) + chunks


def jpeg_sized(wide, tall):
    """A small JPEG whose frame claims another size (ITU-T T.81, B.2.2)."""
    content = bytearray(saved(Image.new("RGB", (64, 64)), "JPEG"))
    place = content.index(b"\xff\xc0") + 5
    content[place : place + 4] = struct.pack(">HH", tall, wide)
    return bytes(content)


def frames(kind, count, size=(80, 64)):
    first, *rest = (Image.new("RGB", size, (each % 256, 40, 90)) for each in range(count))
    return saved(first, kind, save_all=True, append_images=rest)


def large_exif():
    exif = Image.Exif()
    exif[0x010E] = "x" * 60_000
    return exif.tobytes()


def turned_round():
    """EXIF whose list of tags leads to itself."""
    return b"Exif\0\0II*\0\x08\0\0\0" + struct.pack("<HHHII", 1, 0x8769, 4, 1, 8) + struct.pack("<I", 8)


SMALL = Image.new("RGB", (90, 70), (180, 60, 40))
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
OPENS, TOO_LARGE, TOO_SMALL = "opens", "at most 120 megapixels", "fewer than 64 px"
DAMAGED, NONE = "damaged or cut short", "not a picture"
REFUSED = f"{DAMAGED}|{NONE}|{TOO_LARGE}|{TOO_SMALL}|cannot be unpacked"

# What is sent, and what is said of it.
HOSTILE = {
    "PNG of 2^31 px": (lambda: png(2**31 - 1, 2**31 - 1, 8, 2, zlib.compress(b"")), TOO_LARGE),
    "PNG one row too many": (lambda: png(12_000, 10_001, 16, 0, zlib.compress(b"")), TOO_LARGE),
    "PNG of no size": (lambda: png(0, 0, 8, 2, zlib.compress(b"")), REFUSED),
    "PNG of no height": (lambda: png(100, 0, 8, 2, zlib.compress(b"")), REFUSED),
    "PNG one px wide": (lambda: png(1, 5000, 8, 2, zlib.compress(bytes(20_000))), TOO_SMALL),
    "PNG of 3 bits": (lambda: png(90, 70, 3, 2, zlib.compress(b"")), REFUSED),
    "PNG whose data go on and on": (lambda: png(90, 70, 8, 2, zeros(300 << 20)), OPENS),
    "PNG with a text of 300 MB": (
        lambda: png(90, 70, 8, 2, zeros(271 * 70), chunk(b"zTXt", b"a\0\0" + zeros(300 << 20))),
        f"{OPENS}|{DAMAGED}",
    ),
    "PNG with a profile of 300 MB": (
        lambda: png(90, 70, 8, 2, zeros(271 * 70), chunk(b"iCCP", b"a\0\0" + zeros(300 << 20))),
        f"{OPENS}|{DAMAGED}",
    ),
    "PNG with an EXIF of 30 MB": (
        lambda: png(90, 70, 8, 2, zeros(271 * 70), chunk(b"eXIf", b"II*\0" + bytes(30 << 20))),
        OPENS,
    ),
    "PNG with 100,000 parts": (
        lambda: png(90, 70, 8, 2, zeros(271 * 70), *[chunk(b"tEXt", b"a\0b")] * 100_000),
        f"{OPENS}|{DAMAGED}",
    ),
    "PNG of 16 bits, 100 megapixels": (lambda: png(10_000, 10_000, 16, 0, zeros(10_000 * 20_001)), OPENS),
    "PNG of 16-bit color with alpha": (lambda: png(3000, 2000, 16, 6, zeros(2000 * 24_001)), OPENS),
    "PNG of 100 frames": (lambda: frames("PNG", 100), OPENS),
    "JPEG of 65,000 px": (lambda: jpeg_sized(65_000, 65_000), TOO_LARGE),
    "JPEG larger than its data": (lambda: jpeg_sized(9_000, 9_000), f"{OPENS}|{DAMAGED}"),
    "JPEG of no size": (lambda: jpeg_sized(0, 0), REFUSED),
    "JPEG with a profile of 12 MB": (
        lambda: saved(SMALL, "JPEG", icc_profile=PROFILE + bytes(12_000_000)),
        OPENS,
    ),
    "JPEG with a profile cut short": (lambda: saved(SMALL, "JPEG", icc_profile=PROFILE[:200]), OPENS),
    "JPEG with a large EXIF": (lambda: saved(SMALL, "JPEG", exif=large_exif()), OPENS),
    "JPEG with an EXIF that leads to itself": (lambda: saved(SMALL, "JPEG", exif=turned_round()), OPENS),
    "JPEG of CMYK with another's profile": (
        lambda: saved(SMALL.convert("CMYK"), "JPEG", icc_profile=PROFILE),
        OPENS,
    ),
    "JPEG in pieces, progressive, 80 megapixels": (
        lambda: saved(Image.new("RGB", (10_000, 8_000)), "JPEG", progressive=True, subsampling=0, quality=30),
        OPENS,
    ),
    "TIFF of 4 billion px": (
        lambda: tiff((256, 4, 1, 2**32 - 1), (257, 4, 1, 2**32 - 1), (258, 3, 1, 8), (262, 3, 1, 1)),
        REFUSED,
    ),
    "TIFF that leads to itself": (lambda: b"II*\0\x08\0\0\0" + struct.pack("<HI", 0, 8), REFUSED),
    "TIFF with a tag of 4 GB": (
        lambda: tiff((256, 4, 1, 90), (257, 4, 1, 70), (34675, 7, 2**32 - 1, 8)),
        REFUSED,
    ),
    "TIFF of 400 pages": (lambda: frames("TIFF", 400), OPENS),
    "TIFF of packed zeros, 100 megapixels": (
        lambda: saved(Image.new("RGB", (10_000, 10_000)), "TIFF", compression="tiff_adobe_deflate"),
        OPENS,
    ),
    "TIFF of numbers that are none": (
        lambda: saved(Image.fromarray(np.full((70, 90), np.nan, np.float32)), "TIFF"),
        OPENS,
    ),
    "TIFF of 32 bits": (lambda: saved(Image.fromarray(np.full((70, 90), 2**31 - 1, np.int32)), "TIFF"), OPENS),
    "WebP of 268 megapixels": (lambda: webp(16_384, 16_384), REFUSED),
    "WebP of 400 frames": (lambda: frames("WEBP", 400), OPENS),
    "GIF of 65,000 px": (lambda: gif(65_000, 65_000), f"{TOO_LARGE}|{DAMAGED}"),
    "GIF of 3,000 frames": (lambda: frames("GIF", 3_000), OPENS),
    "HEIC of 132 megapixels": (lambda: (DATA / "132_megapixels.heic").read_bytes(), TOO_LARGE),
    "HEIC that says so only": (lambda: b"\0\0\0\x18ftypheic" + bytes(1000), REFUSED),
    "HEIC with its insides turned": (
        lambda: (lambda good: good[:300] + good[300:][::-1])((DATA / "quarters.heic").read_bytes()),
        REFUSED,
    ),
    "palette of one color": (lambda: saved(SMALL.convert("P", palette=1, colors=1), "PNG"), OPENS),
    "palette with clear colors": (lambda: saved(SMALL.convert("P"), "PNG", transparency=bytes(256)), OPENS),
    "picture of a kind that is not opened": (lambda: saved(SMALL, "BMP"), NONE),
    "program": (lambda: Path(sys.executable).read_bytes()[:100_000], NONE),
    "nothing": (lambda: b"", NONE),
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_whatever_is_sent_opens_or_is_refused_in_one_sentence_and_the_next_one_opens(kind):
    make, expected = HOSTILE[kind]
    content = make()
    try:
        photo = open_photo(content, name="quilt.jpg")
        found = OPENS
        assert photo.pixels.ndim == 3
        assert photo.pixels.shape[0] * photo.pixels.shape[1] <= MOST_PIXELS
    except PhotoError as fault:
        found = str(fault)
        assert found.startswith("quilt.jpg: ")
        assert "\n" not in found
        assert len(found) < 300
    assert any(each in found for each in expected.split("|")), found
    assert open_photo(saved(SMALL, "PNG")).size_px == (90, 70)


@pytest.fixture
def decoder():
    made = Decoder()
    yield made
    made.end()


LARGE = png(10_000, 10_000, 16, 0, zeros(10_000 * 20_001))
PLAIN = saved(SMALL, "PNG")


def peak_bytes(process):
    """The most memory that a process has held; as /proc on Linux tells it."""
    lines = Path(f"/proc/{process.pid}/status").read_text().splitlines()
    return next(1024 * int(line.split()[1]) for line in lines if line.startswith("VmHWM"))


@pytest.mark.skipif(sys.platform != "linux", reason="asks /proc")
def test_sixteen_bits_take_little_more_memory_than_the_picture(decoder):
    pixels, _ = decoder.decode(LARGE)
    assert pixels.nbytes == 3 * 10**8
    # 200 MB at 2 bytes a pixel, what is loaded, and a strip.
    assert peak_bytes(decoder.start()) < 350 * 10**6


@pytest.mark.skipif(sys.platform != "linux", reason="only there is the limit of memory kept by the system")
def test_more_memory_than_is_allowed_is_refused_and_the_next_one_opens():
    decoder = Decoder(most_memory_bytes=250 * 10**6)
    try:
        for _ in range(2):
            with pytest.raises(PhotoError, match=r"more than 0\.2 GB of memory"):
                decoder.decode(LARGE)
            assert decoder.decode(PLAIN)[0].shape == (70, 90, 3)
    finally:
        decoder.end()


def test_more_time_than_is_allowed_is_refused_and_the_next_one_opens():
    decoder = Decoder(most_s=0.3)
    try:
        with pytest.raises(PhotoError, match=r"takes more than 0\.3 s to unpack"):
            decoder.decode(LARGE)
        decoder._most_s = 60
        assert decoder.decode(PLAIN)[0].shape == (70, 90, 3)
    finally:
        decoder.end()


def test_a_process_that_breaks_in_the_middle_is_one_sentence_and_the_next_one_opens(decoder):
    def breaking():
        while decoder._process is None:
            time.sleep(0.01)
        decoder._process.send_signal(getattr(signal, "SIGSEGV", signal.SIGTERM))

    threading.Thread(target=breaking).start()
    with pytest.raises(PhotoError, match="it breaks what unpacks it"):
        decoder.decode(LARGE)
    assert decoder.decode(PLAIN)[0].shape == (70, 90, 3)


def test_a_process_that_was_ended_while_it_waited_is_started_again(decoder):
    decoder.decode(PLAIN)
    first = decoder.start()
    first.kill()
    assert decoder.decode(PLAIN)[0].shape == (70, 90, 3)
    assert decoder.start().pid != first.pid


def test_one_process_serves_one_picture_after_another(decoder):
    decoder.decode(PLAIN)
    first = decoder.start()
    with pytest.raises(PhotoError):
        decoder.decode(b"no picture")
    decoder.decode(PLAIN)
    assert decoder.start() is first


def test_twelve_at_once_all_open_one_after_another(decoder):
    content = saved(Image.effect_noise((1500, 1000), 40).convert("RGB"), "JPEG")
    with ThreadPoolExecutor(12) as pool:
        found = list(pool.map(lambda _: decoder.decode(content)[0], range(12)))
    assert {each.shape for each in found} == {(1000, 1500, 3)}
    assert all(np.array_equal(each, found[0]) for each in found)


def test_what_is_asked_goes_to_the_right_one_when_pictures_and_refusals_come_at_once(decoder):
    sent = [saved(Image.new("RGB", (64 + each, 64)), "PNG") if each % 3 else b"none" for each in range(30)]

    def width(content):
        try:
            return decoder.decode(content)[0].shape[1]
        except PhotoError as fault:
            return fault.given

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(width, sent))
    assert found == [64 + each if each % 3 else "a file that is not a picture" for each in range(30)]


def test_the_process_ends_with_the_program_that_asked_however_that_ends():
    script = "from seamlore.photo.files.decoder import DECODER; print(DECODER.start().pid, flush=True); input()"
    with subprocess.Popen([sys.executable, "-c", script], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as asking:
        child = int(asking.stdout.readline())
        asking.kill()
    end = time.monotonic() + 60
    while time.monotonic() < end:
        try:
            os.kill(child, 0)
        except OSError:
            return
        time.sleep(0.05)
    raise AssertionError("it lives on")


def test_a_program_that_only_asks_loads_no_image_library():
    script = (
        "import sys; from pathlib import Path; from seamlore.photo.opening import open_photo;"
        f"open_photo(Path({str(DATA / 'quarters.heic')!r}));"
        "print([name for name in sys.modules if name.split('.')[0] in ('PIL', 'pi_heif')])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_a_module_of_the_same_name_in_the_folder_that_she_is_in_is_not_run(tmp_path, monkeypatch):
    (tmp_path / "PIL.py").write_text("raise SystemExit")
    monkeypatch.chdir(tmp_path)
    decoder = Decoder()
    try:
        assert decoder.decode(PLAIN)[0].shape == (70, 90, 3)
    finally:
        decoder.end()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork there")
def test_a_copy_of_a_program_gets_a_process_of_its_own():
    open_photo(PLAIN)
    child = os.fork()
    if child == 0:
        os._exit(0 if open_photo(PLAIN).size_px == (90, 70) else 1)
    for _ in range(20):
        assert open_photo(PLAIN).size_px == (90, 70)
    assert os.waitpid(child, 0)[1] == 0
