"""Colors of a photo as sRGB has them, whatever profile it carries."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from rootcase.ground.errors import FileError
from rootcase.science.photo.stored import linear_light
from rootcase.services.upright import upright_pixels

WIDE = np.array([(0.51512, 0.29198, 0.15710), (0.24120, 0.69225, 0.06657), (-0.00105, 0.04189, 0.78407)])
"""Columns: red, green and blue of Display P3, adapted to D50 (memory)."""
SRGB = np.array([(0.43607, 0.38515, 0.14307), (0.22249, 0.71687, 0.06061), (0.01392, 0.09708, 0.71410)])
"""The same of sRGB (memory)."""
COLORS = np.array([[(150, 90, 60), (60, 110, 50), (200, 170, 130), (40, 34, 28)]], np.uint8)


def profile(colorants: np.ndarray, gamma: float = 2.2) -> bytes:
    """A display's profile, version 2 (ICC.1:2001-04): its colorants, one power for all."""
    def fixed(values: object) -> bytes:
        return b"".join(struct.pack(">i", round(65536 * value)) for value in np.ravel(values))

    curve = b"curv" + bytes(4) + struct.pack(">IH", 1, round(256 * gamma)) + bytes(2)
    tags = {b"desc": b"desc" + bytes(4) + struct.pack(">I", 2) + b"x\0" + bytes(79),
            b"cprt": b"text" + bytes(4) + b"x\0",
            b"wtpt": b"XYZ " + bytes(4) + fixed((0.9642, 1.0, 0.8249))}
    tags |= {name + b"XYZ": b"XYZ " + bytes(4) + fixed(column) for name, column in zip((b"r", b"g", b"b"), colorants.T,
                                                                                    strict=True)}
    tags |= {name + b"TRC": curve for name in (b"r", b"g", b"b")}
    start, table, body = 128 + 4 + 12 * len(tags), b"", b""
    for name, data in tags.items():
        padded = data + bytes(-len(data) % 4)
        table += name + struct.pack(">II", start + len(body), len(data))
        body += padded
    head = struct.pack(">I4sI4s4s4s12s4s", start + len(body), bytes(4), 0x02100000, b"mntr", b"RGB ", b"XYZ ",
                       bytes(12), b"acsp") + bytes(28) + fixed((0.9642, 1.0, 0.8249)) + bytes(48)
    return head + struct.pack(">I", len(tags)) + table + body


def test_a_phone_s_own_colors_are_brought_to_srgb(tmp_path: Path) -> None:
    light = linear_light(COLORS.astype(np.float32) / np.float32(255)) @ SRGB.T @ np.linalg.inv(WIDE).T
    stored = (255 * light.clip(0, 1) ** (1 / 2.2)).round().astype(np.uint8)
    assert np.abs(stored.astype(int) - COLORS).max() > 5
    Image.fromarray(stored).save(tmp_path / "wide.png", icc_profile=profile(WIDE))
    assert np.abs(upright_pixels(tmp_path / "wide.png").astype(int) - COLORS).max() <= 1


def test_a_profile_that_is_srgb_broken_or_of_another_kind_changes_nothing(tmp_path: Path) -> None:
    same = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for name, carried in (("same", same), ("broken", b"no profile"), ("cut", profile(WIDE)[:200])):
        Image.fromarray(COLORS).save(tmp_path / f"{name}.png", icc_profile=carried)
        assert np.abs(upright_pixels(tmp_path / f"{name}.png").astype(int) - COLORS).max() == 0
    Image.fromarray(COLORS).convert("L").save(tmp_path / "gray.png", icc_profile=profile(WIDE))
    assert np.ptp(upright_pixels(tmp_path / "gray.png"), axis=2).max() == 0


def test_gray_values_of_more_than_eight_bits_are_refused(tmp_path: Path) -> None:
    Image.fromarray(np.full((4, 4), 30_000, np.uint16)).save(tmp_path / "deep.tif")
    with pytest.raises(FileError, match=r"deep\.tif: this photo holds gray values of more than 8 bits"):
        upright_pixels(tmp_path / "deep.tif")
