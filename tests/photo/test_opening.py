"""Every kind of photograph opens the same; whatever is not one is refused in one line."""

import contextlib
import io
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from PIL import Image, ImageCms
from skimage import color

from seamlore.errors import PhotoError
from seamlore.photo.files.limits import MOST_PIXELS
from seamlore.photo.opening import open_photo

# quarters.heic and quarters_turned.heic hold `scene()`; made with the libheif encoder, which the program
# does not carry.
DATA = Path(__file__).parents[1] / "data"


def scene(wide=160, tall=100):
    """Four plain quarters: what is where can be told after any turn."""
    picture = np.zeros((tall, wide, 3), np.uint8)
    picture[: tall // 2, : wide // 2] = (200, 40, 40)
    picture[: tall // 2, wide // 2 :] = (40, 160, 60)
    picture[tall // 2 :, : wide // 2] = (50, 60, 190)
    picture[tall // 2 :, wide // 2 :] = (230, 220, 200)
    return Image.fromarray(picture)


SCENE = np.asarray(scene())


def saved(picture, kind, **how):
    file = io.BytesIO()
    picture.save(file, kind, **how)
    return file.getvalue()


def inside_quarters(pixels):
    """The middle of each quarter: lossy formats bleed a little over the seams between them."""
    tall, wide = pixels.shape[:2]
    y, x = np.ix_([tall // 4, 3 * tall // 4], [wide // 4, 3 * wide // 4])
    return pixels[y, x].astype(int)


def refusal(source, **more):
    with pytest.raises(PhotoError) as caught:
        open_photo(source, **more)
    assert "\n" not in str(caught.value)
    return str(caught.value)


GOOD = {
    "JPEG": saved(scene(), "JPEG", quality=92),
    "PNG": saved(scene(), "PNG"),
    "TIFF": saved(scene(), "TIFF", compression="tiff_lzw"),
    "WebP": saved(scene(), "WEBP", quality=90),
    "HEIC": (DATA / "quarters.heic").read_bytes(),
}


@pytest.mark.parametrize("kind", GOOD)
def test_common_format_opens_with_its_colors(kind):
    assert_allclose(inside_quarters(open_photo(GOOD[kind]).pixels), inside_quarters(SCENE), atol=5)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_camera_orientation_is_honored(kind, orientation):
    # Source: EXIF 2.3, tag 274: how the stored rows and columns lie in the upright picture.
    undo = {
        1: lambda a: a,
        2: lambda a: a[:, ::-1],
        3: lambda a: a[::-1, ::-1],
        4: lambda a: a[::-1],
        5: lambda a: a.swapaxes(0, 1),
        6: lambda a: np.rot90(a, 1),
        7: lambda a: a[::-1, ::-1].swapaxes(0, 1),
        8: lambda a: np.rot90(a, -1),
    }[orientation]
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored = Image.fromarray(np.ascontiguousarray(undo(SCENE)))
    photo = open_photo(saved(stored, kind, exif=exif))
    assert photo.pixels.shape == SCENE.shape
    assert_allclose(inside_quarters(photo.pixels), inside_quarters(SCENE), atol=12)


def test_turned_heic_is_turned_once():
    photo = open_photo(DATA / "quarters_turned.heic")
    assert_allclose(inside_quarters(photo.pixels), inside_quarters(SCENE), atol=5)


def wide_gamut_profile():
    """A display profile with its red and green exchanged: unmistakable, and made here."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    swapped = bytes(profile).replace(b"rXYZ", b"tXYZ").replace(b"gXYZ", b"rXYZ").replace(b"tXYZ", b"gXYZ")
    return swapped.replace("sRGB".encode("utf-16-be"), "test".encode("utf-16-be"))


def test_embedded_profile_is_honored():
    photo = open_photo(saved(scene(), "PNG", icc_profile=wide_gamut_profile()))
    assert_allclose(inside_quarters(photo.pixels), inside_quarters(SCENE)[..., [1, 0, 2]], atol=2)
    assert photo.notes == ()


def test_lab_picture_has_the_colors_that_scikit_image_gives_it():
    # Source: skimage.color.lab2rgb; a TIFF in CIELAB under D50 as ICC has it, so within a few levels.
    lab = ImageCms.profileToProfile(
        scene(), ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB"), outputMode="LAB"
    )
    photo = open_photo(saved(lab, "TIFF"))
    light = color.rgb2lab(inside_quarters(photo.pixels).astype(np.uint8))[..., 0]
    assert_allclose(light, inside_quarters(np.asarray(lab))[..., 0] * 100 / 255, atol=2)


def test_broken_profile_is_told_and_the_photograph_still_opens():
    photo = open_photo(saved(scene(), "PNG", icc_profile=b"no profile at all"))
    assert_allclose(photo.pixels, SCENE)
    assert "color profile" in photo.notes[0]


def test_gray_picture_becomes_three_equal_colors():
    photo = open_photo(saved(scene().convert("L"), "PNG"))
    assert_allclose(photo.pixels[..., 0], np.asarray(scene().convert("L")))
    assert_allclose(photo.pixels[..., 0], photo.pixels[..., 2])


def test_sixteen_bit_gray_keeps_its_tones():
    levels = np.linspace(0, 65535, 100 * 160).reshape(100, 160).astype(np.uint16)
    for kind in ("PNG", "TIFF"):
        photo = open_photo(saved(Image.fromarray(levels), kind))
        assert_allclose(photo.pixels[..., 1], levels / 257, atol=0.51)


def sixteen_bit_png(picture):
    """A PNG of 16 bits a color, written by hand: Pillow writes none."""
    tall, wide = picture.shape[:2]
    rows = b"".join(b"\0" + (row.astype(">u2") * 257).tobytes() for row in picture)
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", wide, tall, 16, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(rows)),
        (b"IEND", b""),
    ]
    chunks = (
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in parts
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def test_sixteen_bit_color_keeps_its_colors():
    assert_allclose(open_photo(sixteen_bit_png(SCENE)).pixels, SCENE)


def test_cmyk_picture_becomes_rgb():
    photo = open_photo(saved(scene().convert("CMYK"), "JPEG", quality=95))
    assert_allclose(inside_quarters(photo.pixels), inside_quarters(SCENE), atol=8)


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "WEBP"])
def test_clear_parts_become_white(kind):
    picture = scene().convert("RGBA")
    picture.putalpha(Image.fromarray(np.where(np.arange(160) < 80, 255, 0).astype(np.uint8)[None].repeat(100, 0)))
    photo = open_photo(saved(picture, kind, **({"lossless": True} if kind == "WEBP" else {})))
    assert_allclose(photo.pixels[:, :80], SCENE[:, :80])
    assert_allclose(photo.pixels[:, 80:], 255)


def test_gray_with_alpha_becomes_white_where_clear():
    picture = Image.merge("LA", [Image.new("L", (90, 80), 100), Image.new("L", (90, 80), 0)])
    assert_allclose(open_photo(saved(picture, "PNG")).pixels, 255)


def test_palette_becomes_its_colors():
    photo = open_photo(saved(scene().convert("P", palette=Image.Palette.ADAPTIVE), "PNG"))
    assert_allclose(photo.pixels, SCENE, atol=4)


def test_black_and_white_bits_open():
    photo = open_photo(saved(scene().convert("1"), "PNG"))
    assert set(np.unique(photo.pixels)) == {0, 255}


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "GIF", "TIFF"])
def test_first_frame_of_a_moving_picture_is_taken(kind):
    other = Image.new("RGB", (160, 100), "black")
    photo = open_photo(saved(scene(), kind, save_all=True, append_images=[other, other]))
    assert_allclose(inside_quarters(photo.pixels), inside_quarters(SCENE), atol=12)


def test_wrong_suffix_does_not_matter(tmp_path):
    file = tmp_path / "quilt.jpg"
    file.write_bytes(GOOD["PNG"])
    photo = open_photo(file)
    assert_allclose(photo.pixels, SCENE)
    assert photo.name == "quilt.jpg"


def test_pixels_cannot_be_written_to():
    with pytest.raises(ValueError, match="read-only"):
        open_photo(GOOD["PNG"]).pixels[0, 0, 0] = 1


def test_missing_file_is_refused(tmp_path):
    assert "gone.jpg: there is no such file" in refusal(tmp_path / "gone.jpg")


def test_folder_is_refused(tmp_path):
    assert "a folder" in refusal(tmp_path)


@pytest.mark.parametrize("name", ["a\0b.jpg", "a\nb.jpg"])
def test_name_with_an_unprintable_sign_is_refused_on_one_line(name):
    assert "a?b.jpg: there is no such file" in refusal(Path(name))


def test_device_is_refused():
    assert "not an ordinary file" in refusal(Path("/dev/zero"))


@pytest.mark.parametrize("content", [b"", b"\0" * 1000, b"once upon a time", b"%PDF-1.7", b"<svg/>", b"\xff\xd8\xff"])
def test_what_is_no_picture_is_refused(content):
    assert "quilt.jpg: " in refusal(content, name="quilt.jpg")


@pytest.mark.parametrize("kind", GOOD)
@pytest.mark.parametrize("part", [0.3, 0.6, 0.9])
def test_truncated_picture_is_refused(kind, part):
    told = refusal(GOOD[kind][: int(len(GOOD[kind]) * part)])
    assert "damaged or cut short" in told or "not a picture" in told


@pytest.mark.parametrize("size", [(1, 1), (63, 400), (400, 63)])
def test_picture_too_small_to_read_is_refused(size):
    assert f"{size[0]} x {size[1]} px" in refusal(saved(Image.new("RGB", size), "PNG"))


def bare_png(wide, tall):
    """A PNG that claims a size and holds almost nothing: a decompression bomb's header."""
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", wide, tall, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(b"\0" * 99)),
        (b"IEND", b""),
    ]
    chunks = (
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in parts
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def bare_webp(wide, tall):
    body = struct.pack("<B3x", 0x02) + (wide - 1).to_bytes(3, "little") + (tall - 1).to_bytes(3, "little")
    chunks = b"WEBPVP8X" + struct.pack("<I", len(body)) + body + b"ANIM" + struct.pack("<IIH", 6, 0, 0)
    return b"RIFF" + struct.pack("<I", len(chunks)) + chunks


@pytest.mark.parametrize("size", [(12_001, 10_000), (20_000, 15_000), (60_000, 60_000), (2**31 - 1, 2**31 - 1)])
def test_picture_of_too_many_pixels_is_refused_before_decoding(size):
    # Its pixels are not there at all: decoded first, it would be refused as damaged.
    assert "at most 120 megapixels" in refusal(bare_png(*size))


def test_heic_of_too_many_pixels_is_refused_before_decoding():
    assert "12000 x 11000 px, 132 megapixels" in refusal(DATA / "132_megapixels.heic")


def test_webp_canvas_of_268_megapixels_is_refused():
    refusal(bare_webp(16_384, 16_384))


def test_the_limit_itself_is_told_by_the_pixels_not_the_file():
    assert MOST_PIXELS == 120_000_000
    # 120 megapixels exactly pass the count and fail only because the data ends.
    assert "cut short" in refusal(bare_png(12_000, 10_000))


def test_damaged_tiff_puts_nothing_on_standard_error(capfd):
    content = bytearray(saved(scene(), "TIFF", compression="tiff_adobe_deflate"))
    content[20:40] = bytes(20)
    refusal(bytes(content))
    assert capfd.readouterr().err == ""


def opens_or_is_refused(content):
    with contextlib.suppress(PhotoError):
        photo = open_photo(content)
        assert photo.pixels.dtype == np.uint8
        assert photo.pixels.ndim == 3


@settings(max_examples=60, deadline=5000, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sampled_from(sorted(GOOD)),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), max_size=12),
    st.floats(0, 1),
)
@example("JPEG", [], 0.0)
def test_damaged_pictures_are_refused_or_opened_and_nothing_else(kind, flips, kept):
    content = bytearray(GOOD[kind])
    for place, byte in flips:
        # Squared: headers lie at the start, and damage there does the most.
        content[int(place**2 * (len(content) - 1))] = byte
    opens_or_is_refused(bytes(content[: len(content) if kept > 0.5 else int(2 * kept * len(content))]))


@settings(max_examples=60, deadline=5000)
@given(
    st.sampled_from(
        [
            b"",
            b"\xff\xd8\xff\xe0",
            b"\x89PNG\r\n\x1a\n",
            b"II*\0",
            b"MM\0*",
            b"RIFF",
            b"GIF89a",
            b"\0\0\0\x18ftypheic",
        ]
    ),
    st.binary(max_size=400),
)
def test_any_bytes_are_refused_or_opened_and_nothing_else(start, rest):
    opens_or_is_refused(start + rest)
