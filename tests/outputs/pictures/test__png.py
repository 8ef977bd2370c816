"""Our PNG files, read by Pillow."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from genhouse.outputs.pictures._png import png


@pytest.mark.parametrize("size", [(1, 1), (1, 7), (5, 1), (31, 17), (400, 300)])
def test_pillow_reads_the_same_pixels(size: tuple[int, int]) -> None:
    width, height = size
    pixels = np.random.default_rng(7).integers(0, 256, (height, width, 3), dtype=np.uint8)
    data = png(Image.fromarray(pixels))
    read = Image.open(io.BytesIO(data))
    read.verify()  # the checksums
    read = Image.open(io.BytesIO(data))
    assert (read.format, read.mode, read.size) == ("PNG", "RGB", size)
    assert np.array_equal(np.asarray(read), pixels)
    assert read.info == {}


def test_a_plain_sheet_is_small() -> None:
    assert len(png(Image.new("RGB", (1000, 900), (243, 239, 231)))) < 20_000


def test_a_picture_of_another_mode_becomes_rgb() -> None:
    grey = Image.new("L", (4, 3), 99)
    assert Image.open(io.BytesIO(png(grey))).getpixel((3, 2)) == (99, 99, 99)
